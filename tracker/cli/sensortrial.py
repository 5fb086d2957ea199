"""What a set-up makes of messages, piped in or heard at the broker; without a set-up, ways in which they could be read."""

import sys
from argparse import Namespace
from collections.abc import Iterator
from pathlib import Path
from queue import Empty, Queue
from shlex import quote

from sensors.brokerusers import LISTENER
from sensors.guess import Guess, guesses
from sensors.hearing import Around, Hearing
from sensors.intake import Message
from sensors.kinds import Boolean
from sensors.payload import Form, read
from sensors.pointer import pointer
from sensors.sensor import Sensor
from sensors.topics import matches
from tracker import clock
from tracker.cli.brokers import broker_meant
from tracker.cli.opened import Opened, tell
from tracker.cli.sensornames import sensor_meant
from tracker.errors import BadInput, NotFound, Unavailable
from tracker.readingwords import reading_said, shown
from tracker.words import say

MOST_GUESSES = 8
LISTENS_S = 60.0
LOOK_S = 0.2
SHOWN = 400


def trial(args: Namespace, collection: Opened) -> None:
    """Tell what messages read as, as if they came now."""
    sensor = sensor_meant(collection, args.name) if args.name else None
    if args.message is not None and args.seconds is not None:
        raise BadInput(say("--seconds and --message contradict each other."), accepted=say("Give one of them."))
    if args.topic is not None or args.seconds is not None:
        _at_broker(args, collection, sensor)
        return
    arrived_s = collection.now.timestamp()
    for payload in _piped(args.message or "-"):
        if sensor is None:
            _propose(payload, arrived_s, collection)
            return
        tell(_reads(payload, arrived_s, sensor, collection))


def _piped(file: str) -> Iterator[bytes]:
    if file == "-" and sys.stdin.isatty():
        sys.stderr.write(say("Type messages, one a line; Ctrl+D ends.") + "\n")
    try:
        lines = sys.stdin.buffer if file == "-" else Path(file).read_bytes().splitlines()
    except OSError as error:
        raise Unavailable(say("{path} can't be read: {why}.", path=file, why=error.strerror)) from error
    for line in lines:
        if line.strip():
            yield line.rstrip(b"\r\n")


def _at_broker(args: Namespace, collection: Opened, sensor: Sensor | None) -> None:
    """Listen for so many seconds; with a sensor tell each message, without one each topic once."""
    wanted = args.topic if args.topic is not None or sensor is None else sensor.topic
    lasts_s = LISTENS_S if args.seconds is None else args.seconds
    came: Queue[Message] = Queue()
    settings = broker_meant(args, LISTENER)
    hearing = Hearing(settings, wanted, clock.now, came.put)
    sys.stderr.write(say("Listening to {topic} for {n:g} s …", topic=wanted or "#", n=lasts_s) + "\n")
    hearing.start()
    known: set[str] = set()
    try:
        for message in _heard(hearing, came, lasts_s):
            if sensor is None:
                if message.topic not in known:
                    tell(_shown(message))
                    _propose(message.payload, message.arrived_s, collection)
            elif args.topic is not None or matches(sensor.topic, message.topic):
                tell(f"{_shown(message)}  →  {_reads(message.payload, message.arrived_s, sensor, collection)}")
            else:
                continue
            known.add(message.topic)
            sys.stdout.flush()
    finally:
        hearing.stop()
    if not known:
        raise NotFound(say("Nothing came under {topic} in {n:g} s.", topic=wanted or "#", n=lasts_s))
    for around in hearing.topics():
        if around.topic in known:
            tell(_counted(around))


def _heard(hearing: Hearing, came: "Queue[Message]", lasts_s: float) -> Iterator[Message]:
    until_s = clock.monotonic_s() + lasts_s
    while (left_s := until_s - clock.monotonic_s()) > 0:
        if hearing.why:
            raise Unavailable(say("Nothing can be heard: {why}.", why=hearing.why))
        try:
            yield came.get(timeout=min(LOOK_S, left_s))
        except Empty:
            continue


def _shown(message: Message) -> str:
    kept = say(" (retained: the last known, no reading)") if message.retained else ""
    return f"{message.topic}  {shown(message.payload, SHOWN)}{kept}"


def _counted(around: Around) -> str:
    told = {"topic": around.topic, "n": around.count}
    if around.count == 1:
        return say("{topic}: one message.", **told)
    rate = around.per_min
    if rate is None:
        return say("{topic}: {n} messages.", **told)
    return say("{topic}: {n} messages, one every {s:.3g} s.", s=60.0 / rate, **told)


def _reads(payload: bytes, arrived_s: float, sensor: Sensor, collection: Opened) -> str:
    found = read(payload, sensor.form, arrived_s)
    return "; ".join(reading_said(each, sensor.reports, collection.now, collection.zone) for each in found)


def _propose(payload: bytes, arrived_s: float, collection: Opened) -> None:
    found = guesses(payload, arrived_s)[:MOST_GUESSES]
    if not found:
        tell(say("No way was found to read this message."))
    for guess in found:
        tell(f"  {_options(guess.form)}  →  {_guessed(guess, collection)}")


def _guessed(guess: Guess, collection: Opened) -> str:
    reports = Boolean() if guess.form.gives == "boolean" else None
    return reading_said(guess.reading, reports, collection.now, collection.zone)


def _options(form: Form) -> str:
    told = [f"--written {form.written}"]
    told += [f"--value-at {quote(pointer(form.value_at))}"] if form.value_at else []
    told += [f"--time-at {quote(pointer(form.time_at))}"] if form.time_at else []
    told += [f"--record {quote(form.record)}"] if form.record else []
    told += [] if form.gives == "boolean" else ["--reports level"]
    return " ".join(told)
