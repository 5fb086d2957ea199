"""The daily act: wound, seen, stopped, worn, on a winder."""

from argparse import Namespace
from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from tracker.cli.moments import moment, said_back
from tracker.cli.names import watches_meant
from tracker.cli.opened import opened
from tracker.cli.photo import attached
from tracker.commands.base import EntryCommand
from tracker.commands.build import build
from tracker.commands.log import LogSighting, LogWear, LogWind, LogWinder
from tracker.words import say, written

Entry = TypeVar("Entry", bound=EntryCommand)

WOUND = {"full": "wound {when}", "part": "wound in part {when}", "unsure": "wound, how far is not sure, {when}"}
SEEN = {
    "going": "seen going {when}",
    "stopped": "found stopped {when}",
    "stopped on purpose": "stopped on purpose {when}",
}
WORN = {"put on": "put on {when}", "laid down": "laid down {when}"}
WINDER = {"on": "put on the winder {when}", "off": "taken off the winder {when}"}
FOUND = {"going": "found going", "stopped": "found stopped", "not noticed": ""}
HANDS = {"set now": "hands set", "not set": "hands not set", "left": "", "unknown": ""}


def wound(args: Namespace) -> None:
    """Note a winding of each watch; one that was going keeps its hands unless they were set."""
    fields = {
        "amount": args.amount,
        "crown_turns": args.turns,
        "found": args.found,
        "hands": args.hands or ("left" if args.found == "going" else "unknown"),
        "shown": args.showing,
        "side_spring_used": args.side_spring,
    }
    _note(args, LogWind, fields, _wind_told)


def seen(args: Namespace) -> None:
    """Note that each watch was seen going."""
    fields = {"seen": "going", "indicator_reading": args.reading, "side_spring_used": args.side_spring}
    _note(args, LogSighting, fields, _sighting_told)


def stopped(args: Namespace) -> None:
    """Note that each watch was found stopped, or was stopped on purpose."""
    state = "stopped on purpose" if args.on_purpose else "stopped"
    fields = {"seen": state, "shown": args.showing, "side_spring_used": args.side_spring}
    _note(args, LogSighting, fields, _sighting_told)


def worn(args: Namespace) -> None:
    """Note that each watch was put on or laid down."""
    act = "laid down" if args.down else "put on"
    _note(args, LogWear, {"act": act}, lambda entry, when: [say(WORN[entry.act], when=when)])


def winder(args: Namespace) -> None:
    """Note that each watch was put on a winder or taken off it."""
    _note(args, LogWinder, {"act": "off" if args.off else "on", "turns_a_day": args.turns_a_day}, _winder_told)


def _winder_told(entry: LogWinder, when: str) -> list[str]:
    turns = say("{n} turns a day", n=written(entry.turns_a_day, "g")) if entry.turns_a_day else ""
    return [say(WINDER[entry.act], when=when), turns]


def _wind_told(entry: LogWind, when: str) -> list[str]:
    wound = say(WOUND[entry.amount], when=when)
    return [wound, say(FOUND[entry.found]), _hands_at(entry.shown), say(HANDS[entry.hands]), _side_spring(entry)]


def _sighting_told(entry: LogSighting, when: str) -> list[str]:
    reading = entry.indicator_reading
    indicator = "" if reading is None else say("indicator at {reading}", reading=written(reading, "g"))
    return [say(SEEN[entry.seen], when=when), _hands_at(entry.shown), indicator, _side_spring(entry)]


def _side_spring(entry: LogWind | LogSighting) -> str:
    return say("the chronograph ran or the alarm rang") if entry.side_spring_used else ""


def _hands_at(shown: str | None) -> str:
    return say("hands at {shown}", shown=shown) if shown else ""


def _note(
    args: Namespace, command: type[Entry], fields: Mapping[str, Any], told: Callable[[Entry, str], list[str]]
) -> None:
    """One entry for each watch, all as one change."""
    with opened(args) as collection:
        watches = watches_meant(collection, args.names)
        meant = moment(args.at, collection)
        time = {"at": meant.at, "zone": meant.zone_name, "within_min": meant.within_min}
        commands = [build(command, {**fields, **time, "watch_uid": watch.uid}) for watch in watches]
        facts = [fact for fact in told(commands[0], said_back(args.at, meant, collection)) if fact]
        photographs = attached(getattr(args, "photo", None), [command.uid for command in commands], collection.folder)
        names = ", ".join(watch.nickname for watch in watches)
        collection.change([*commands, *photographs], say("{names}: {told}.", names=names, told=", ".join(facts)))
