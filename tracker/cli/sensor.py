"""Sensors on the command line: set up, listed, tried out, and watches laid on them."""

import sys
from argparse import Namespace
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime
from pathlib import Path

from sensors.guess import Guess, guesses
from sensors.payload import Form, Reading, read
from sensors.sensor import Sensor
from sensors.unread import Unread
from tracker import phrases
from tracker.cli.forms import write
from tracker.cli.moments import moment, said_back
from tracker.cli.names import watches_meant
from tracker.cli.opened import Opened, opened, tell
from tracker.cli.table import show
from tracker.commands.base import Command
from tracker.commands.build import build
from tracker.commands.sensor import SENSOR_FIELDS, AddSensor, ArchiveSensor, LayOnSensor, TakeOffSensor
from tracker.errors import BadInput, NotFound, Unavailable
from tracker.store import register
from tracker.store import sensors as shelf
from tracker.store.sensed import reading as sensed
from tracker.store.sensed.migrations import FILE_NAME, open_sensed
from tracker.store.sensed.reading import Heard
from tracker.words import say

MOST_GUESSES = 8


def sensor(args: Namespace) -> None:
    """Do one act."""
    with opened(args) as collection:
        {"add": _add, "list": _list, "test": _test, "lay": _lay, "take-off": _take_off, "put-away": _put_away}[
            args.act
        ](args, collection)


def _add(args: Namespace, collection: Opened) -> None:
    fields = {name: value for name, value in vars(args).items() if name in SENSOR_FIELDS and value is not None}
    added = build(AddSensor, fields)
    commands: list[Command] = [added]
    if args.watch:
        (watch,) = watches_meant(collection, [args.watch])
        commands.append(build(LayOnSensor, {"sensor_uid": added.uid, "watch_uid": watch.uid, "at": collection.now}))
    collection.change(commands, say("Set up: {name}.", name=added.name))


def _list(args: Namespace, collection: Opened) -> None:
    db = collection.store.reading()
    watches = {watch.uid: watch.nickname for watch in register.every_watch(db)}
    there = {stay.sensor_uid: watches[stay.watch_uid] for stay in shelf.assignments(db) if stay.to_s is None}
    heard, found = _heard(collection.folder), shelf.sensors(db)
    if args.json:
        write([_values(each, there, heard) for each in found])
    elif not found:
        tell(say("No sensor is set up yet. Set one up: going sensor add NAME --topic TOPIC --expected SECONDS"))
    else:
        head = [say(word) for word in ("sensor", "topic", "watch", "last heard", "readings", "rejected")]
        show([head, *(_row(each, there, heard.get(each.uid), collection) for each in found)])


def _heard(folder: Path) -> Mapping[str, Heard]:
    if not (folder / FILE_NAME).exists():
        return {}
    store = open_sensed(folder)
    try:
        return sensed.heard(store.reading())
    finally:
        store.close()


def _row(each: Sensor, there: Mapping[str, str], heard: Heard | None, collection: Opened) -> list[str]:
    when = say("never")
    if heard is not None and heard.arrived_s is not None:
        when = phrases.when(datetime.fromtimestamp(heard.arrived_s, UTC), collection.now, collection.zone)
    counts = [str(heard.readings), str(heard.rejected)] if heard else ["0", "0"]
    return [each.name, each.topic, there.get(each.uid, ""), when, *counts]


def _values(each: Sensor, there: Mapping[str, str], heard: Mapping[str, Heard]) -> dict[str, object]:
    told = heard.get(each.uid)
    return {
        "uid": each.uid,
        "name": each.name,
        "kind": each.kind,
        "topic": each.topic,
        "watch": there.get(each.uid),
        "last_heard": _text(told.arrived_s) if told and told.arrived_s is not None else None,
        "readings": told.readings if told else 0,
        "rejected": told.rejected if told else 0,
    }


def _test(args: Namespace, collection: Opened) -> None:
    """What a set-up makes of messages as if they came now; without one, the ways in which the first could be read."""
    messages, arrived_s = list(_messages(args.message)), collection.now.timestamp()
    if args.name:
        form = _meant(collection, args.name).form
        for message in messages:
            for told in read(message, form, arrived_s):
                tell(_said(told))
        return
    found = [guess for message in messages[:1] for guess in guesses(message, arrived_s)][:MOST_GUESSES]
    if not found:
        tell(say("No way was found to read this message."))
    for guess in found:
        tell(_proposed(guess))


def _messages(file: str) -> Iterator[bytes]:
    try:
        lines = sys.stdin.buffer if file == "-" else Path(file).read_bytes().splitlines()
    except OSError as error:
        raise Unavailable(say("{path} can't be read: {why}.", path=file, why=error.strerror)) from error
    for line in lines:
        if line.strip():
            yield line.rstrip(b"\r\n")


def _said(told: Reading | Unread) -> str:
    if isinstance(told, Unread):
        return told.sentence
    stamp = _text(told.at_s) if told.stamped else say("as it came")
    return f"{told.value:g}  {stamp}"


def _proposed(guess: Guess) -> str:
    return f"{_options(guess.form)}  →  {_said(guess.reading)}"


def _options(form: Form) -> str:
    told = [f"--written {form.written}"]
    told += [f"--value-at {_pointer(form.value_at)}"] if form.value_at else []
    told += [f"--time-at {_pointer(form.time_at)}"] if form.time_at else []
    told += [f'--record "{form.record}"'] if form.record else []
    told += [] if form.gives == "boolean" else ["--reports level"]
    return " ".join(told)


def _pointer(path: tuple[str, ...]) -> str:
    return "".join("/" + token.replace("~", "~0").replace("/", "~1") for token in path)


def _lay(args: Namespace, collection: Opened) -> None:
    found, (watch,) = _meant(collection, args.name), watches_meant(collection, [args.watch])
    when = moment(args.at, collection)
    command = build(LayOnSensor, {"sensor_uid": found.uid, "watch_uid": watch.uid, "at": when.at})
    said = say(
        "{watch} lies on {sensor}: noted, {when}.",
        watch=watch.nickname,
        sensor=found.name,
        when=said_back(args.at, when, collection),
    )
    collection.change([command], said)


def _take_off(args: Namespace, collection: Opened) -> None:
    found, when = _meant(collection, args.name), moment(args.at, collection)
    command = build(TakeOffSensor, {"sensor_uid": found.uid, "at": when.at})
    collection.change([command], say("Nothing lies on {sensor} any more: noted.", sensor=found.name))


def _put_away(args: Namespace, collection: Opened) -> None:
    found = _meant(collection, args.name)
    collection.change([build(ArchiveSensor, {"sensor_uid": found.uid})], say("Put away: {name}.", name=found.name))


def _meant(collection: Opened, name: str) -> Sensor:
    every = shelf.sensors(collection.store.reading())
    same = [each for each in every if each.name.casefold() == name.casefold()]
    fitting = same or [each for each in every if each.name.casefold().startswith(name.casefold())]
    if not fitting:
        raise NotFound(
            say("No sensor's name begins with “{name}”. going sensor list tells which there are.", name=name)
        )
    if len(fitting) > 1:
        names = ", ".join(each.name for each in fitting)
        raise BadInput(
            say("“{name}” may mean {names}.", name=name, names=names), accepted=say("Write more of the name.")
        )
    return fitting[0]


def _text(at_s: float) -> str:
    return datetime.fromtimestamp(at_s, UTC).isoformat(timespec="seconds").replace("+00:00", "Z")
