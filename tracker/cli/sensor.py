"""Sensors on the command line: set up, listed, tried out, and watches laid on them."""

from argparse import Namespace
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path

from sensors.brokerusers import SENSORS, users_of
from sensors.sensor import Sensor
from tracker import phrases
from tracker.cli.forms import write
from tracker.cli.moments import moment, said_back
from tracker.cli.names import watches_meant
from tracker.cli.opened import Opened, opened, tell
from tracker.cli.sensornames import sensor_meant
from tracker.cli.sensortrial import trial
from tracker.cli.table import show
from tracker.commands.base import Command
from tracker.commands.build import build
from tracker.commands.sensor import (
    OF_REST,
    SENSOR_FIELDS,
    AddSensor,
    ArchiveSensor,
    BringBackSensor,
    EditSensor,
    LayOnSensor,
    TakeOffSensor,
)
from tracker.errors import BadInput
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
        _ACTS[args.act](args, collection)


def _add(args: Namespace, collection: Opened) -> None:
    added = build(AddSensor, _given(args))
    commands: list[Command] = [added]
    if args.watch:
        (watch,) = watches_meant(collection, [args.watch])
        commands.append(build(LayOnSensor, {"sensor_uid": added.uid, "watch_uid": watch.uid, "at": collection.now}))
    collection.change(commands, say("Set up: {name}.", name=added.name))


def _given(args: Namespace) -> dict[str, object]:
    """What was said of the set-up; what it reports says the kind."""
    given = {name: value for name, value in vars(args).items() if name in SENSOR_FIELDS and value is not None}
    if "reports" in given and "kind" not in given:
        given["kind"] = "rest" if given["reports"] in OF_REST else "winder"
    return given


def _edit(args: Namespace, collection: Opened) -> None:
    found, given = sensor_meant(collection, args.sensor), _given(args)
    if not given:
        raise BadInput(say("No change is given."), accepted=say("Give what is to change, such as --expected 30."))
    row = shelf.sensor_row(collection.store.reading(), found.uid) or {}
    kept = {name: row[name] for name in SENSOR_FIELDS}
    command = build(EditSensor, {**kept, **given, "sensor_uid": found.uid, "version": found.version})
    collection.change([command], say("Set-up changed: {name}.", name=command.name))


def _list(args: Namespace, collection: Opened) -> None:
    db = collection.store.reading()
    watches = {watch.uid: watch.nickname for watch in register.every_watch(db)}
    there = {stay.sensor_uid: watches[stay.watch_uid] for stay in shelf.assignments(db) if stay.to_s is None}
    heard, found = _heard(collection.folder), shelf.sensors(db)
    if args.json:
        write([_values(each, there, heard) for each in found])
        return
    put_away = [each.name for each in shelf.sensors(db, archived=True)]
    if not found:
        tell(say("No sensor is set up yet. Set one up: going sensor add NAME --topic TOPIC --expected SECONDS"))
    else:
        head = [say(word) for word in ("sensor", "topic", "watch", "last heard", "readings", "rejected")]
        show([head, *(_row(each, there, heard.get(each.uid), collection) for each in found)])
    if put_away:
        tell(say("Put away: {names}", names=", ".join(put_away)))


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


def _lay(args: Namespace, collection: Opened) -> None:
    found, (watch,) = sensor_meant(collection, args.name), watches_meant(collection, [args.watch])
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
    found, when = sensor_meant(collection, args.name), moment(args.at, collection)
    command = build(TakeOffSensor, {"sensor_uid": found.uid, "at": when.at})
    collection.change([command], say("Nothing lies on {sensor} any more: noted.", sensor=found.name))


def _put_away(args: Namespace, collection: Opened) -> None:
    found = sensor_meant(collection, args.name)
    collection.change([build(ArchiveSensor, {"sensor_uid": found.uid})], say("Put away: {name}.", name=found.name))


def _bring_back(args: Namespace, collection: Opened) -> None:
    found = sensor_meant(collection, args.name, archived=True)
    command = build(BringBackSensor, {"sensor_uid": found.uid})
    collection.change([command], say("Listened to again: {name}.", name=found.name))


def _text(at_s: float) -> str:
    return datetime.fromtimestamp(at_s, UTC).isoformat(timespec="seconds").replace("+00:00", "Z")


def _password(_: Namespace, collection: Opened) -> None:
    tell(users_of(collection.folder)[SENSORS])


_ACTS = {
    "add": _add,
    "edit": _edit,
    "list": _list,
    "test": trial,
    "password": _password,
    "lay": _lay,
    "take-off": _take_off,
    "put-away": _put_away,
    "bring-back": _bring_back,
}
