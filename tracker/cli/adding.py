"""Registering watches from the command line."""

from argparse import Namespace

from tracker import phrases
from tracker.cli.moments import moment
from tracker.cli.names import watches_meant
from tracker.cli.opened import Opened, opened
from tracker.commands.base import Command
from tracker.commands.build import build
from tracker.commands.log import LogSighting
from tracker.commands.register import FIELD_NAMES, HandBack, RegisterWatch
from tracker.errors import BadInput
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
    if args.customer is not None:
        fields["belongs_to"] = args.customer
        if not args.job_number:
            raise BadInput(
                say("A customer's watch has a job number, and none is given."),
                field="job_number",
                accepted=say("Give it, or say whose it is by --belongs-to."),
            )
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


def hand_back(args: Namespace) -> None:
    """Note that each of these customers' watches went out."""
    with opened(args) as collection:
        day = args.went_out or collection.now.astimezone(collection.zone).date()
        watches = watches_meant(collection, args.names)
        commands = [build(HandBack, {"watch_uid": watch.uid, "went_out": day}) for watch in watches]
        names = ", ".join(watch.nickname for watch in watches)
        went = phrases.date_of(commands[0].went_out or day)
        collection.change(commands, say("{names}: went out on {day}.", names=names, day=went))
