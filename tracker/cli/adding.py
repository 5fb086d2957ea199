"""Registering watches from the command line."""

from argparse import Namespace

from tracker.cli.moments import moment
from tracker.cli.opened import Opened, opened
from tracker.commands.base import Command
from tracker.commands.build import build
from tracker.commands.log import LogSighting
from tracker.commands.register import FIELD_NAMES, RegisterWatch
from tracker.words import say

STATE = {"going": "going", "stopped": "stopped"}


def add(args: Namespace) -> None:
    """Register each nickname with what else is said; a state said along is a first sighting."""
    with opened(args) as collection:
        commands = list[Command]()
        for name in args.names:
            watch = build(RegisterWatch, {**_fields(args), "nickname": name})
            commands += [watch, *_first_look(watch.uid, args, collection)]
        added = say("Added: {names}.", names=", ".join(args.names))
        collection.change(
            commands,
            say("{added} Seen {state} just now.", added=added, state=say(STATE[args.seen])) if args.seen else added,
        )


def _fields(args: Namespace) -> dict[str, object]:
    """What was said of the watches; days without a habit tell the habit."""
    fields = {name: value for name, value in vars(args).items() if name in FIELD_NAMES and value is not None}
    if "habit" not in fields and "habit_weekdays" in fields:
        fields["habit"] = "on weekdays"
    if "habit" not in fields and "habit_every_days" in fields:
        fields["habit"] = "every n days"
    return fields


def _first_look(watch_uid: str, args: Namespace, collection: Opened) -> list[Command]:
    if args.seen is None:
        return []
    now = moment(None, collection)
    fields = {"watch_uid": watch_uid, "at": now.at, "zone": now.zone_name, "within_min": now.within_min}
    return [build(LogSighting, {**fields, "seen": args.seen})]
