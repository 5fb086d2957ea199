"""Simulated sensors, to see what is made of them."""

import json
import signal
import sys
import threading
from argparse import Namespace
from pathlib import Path
from types import FrameType

from sensors.brokersettings import BrokerSettings
from tracker import clock
from tracker.brokerconfig import broker_settings
from tracker.config import data_folder
from tracker.errors import BadInput, Unavailable
from tracker.words import say

HOUR_S = 3600.0


def simulate(args: Namespace) -> None:
    """Publish as real sensors would, until the time is over or Ctrl+C."""
    from sensors.simulated.events import Faults  # noqa: PLC0415 -- only who simulates needs it
    from sensors.simulated.publish import publish  # noqa: PLC0415 -- as above
    from sensors.simulated.scene import scene, truth  # noqa: PLC0415 -- as above

    settings = _broker(args)
    now_s = clock.now().timestamp()
    begin_s = now_s - args.past * HOUR_S
    told = scene(
        args.seed,
        begin_s,
        now_s + args.hours * HOUR_S,
        watches=args.watches,
        seats=args.seats,
        faults=Faults(
            lost=args.lost,
            doubled=args.doubled,
            late=args.late,
            skew_s=args.skew,
            outages_a_week=args.outages,
            leftover=args.leftover,
            neighbours=args.neighbours,
            lifted_a_week=args.lifted,
            swaps_a_week=args.swaps,
            resets_a_week=args.resets,
        ),
        prefix=args.topic,
        expected_s=args.every,
        lost_a_year=args.decline,
        fails_s=None if args.fails is None else begin_s + args.fails * HOUR_S,
    )
    if args.truth:
        _write(Path(args.truth), json.dumps(truth(told), indent=1, ensure_ascii=False))
    sys.stdout.write(say("Sending to {host}:{port} …", host=settings.host, port=settings.port) + "\n")
    sys.stdout.flush()
    count = publish(settings, told.events(now_s), _leaving())
    sys.stdout.write(say("Messages sent: {n}.", n=count) + "\n")


def _broker(args: Namespace) -> BrokerSettings:
    folder = data_folder(args.data)
    if args.broker is not None:
        from sensors.brokerusers import SENSORS, users_of  # noqa: PLC0415 -- as above

        return BrokerSettings(port=args.broker, user=SENSORS, password=users_of(folder)[SENSORS])
    settings = broker_settings(folder)
    if settings is None:
        raise BadInput(
            say("No broker is named."),
            accepted=say('Write [mqtt] and host = "…" into going.toml in {folder}, or give --broker.', folder=folder),
        )
    return settings


def _write(path: Path, text: str) -> None:
    try:
        path.write_text(f"{text}\n", encoding="utf-8")
    except OSError as error:
        raise Unavailable(say("{file} can't be written: {why}.", file=path, why=error.strerror)) from error


def _leaving() -> threading.Event:
    told = threading.Event()

    def leave(_number: int, _frame: FrameType | None) -> None:
        told.set()

    for number in (signal.SIGTERM, signal.SIGINT):
        signal.signal(number, leave)
    return told
