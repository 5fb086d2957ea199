"""Simulated sensors, to see what is made of them."""

import json
import signal
import sys
import threading
from argparse import Namespace
from pathlib import Path
from types import FrameType

from sensors.brokerusers import SENSORS
from tracker import clock
from tracker.cli.brokers import broker_meant
from tracker.errors import Unavailable
from tracker.words import say

HOUR_S = 3600.0


def simulate(args: Namespace) -> None:
    """Publish as real sensors would, until the time is over or Ctrl+C."""
    from sensors.simulated.events import Faults  # noqa: PLC0415 -- only who simulates needs it
    from sensors.simulated.publish import publish  # noqa: PLC0415 -- as above
    from sensors.simulated.scene import scene, truth  # noqa: PLC0415 -- as above

    settings = broker_meant(args, SENSORS)
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
