"""The kinds of entry a person can note: what an address calls them, what a form of each sends, which command it becomes."""

from collections.abc import Mapping
from typing import Any

from tracker.commands.base import EntryCommand
from tracker.commands.build import build
from tracker.commands.log import LogReading, LogService, LogSighting, LogWear, LogWind, LogWinder
from tracker.commands.sign import LogSign
from tracker.core.watch import Watch
from tracker.core.when import Said
from tracker.errors import NotFound
from tracker.web import partfields
from tracker.web.forms import Form, values_of
from tracker.web.logwords import KIND_OF_TABLE
from tracker.words import say

Row = dict[str, Any]

COMMANDS: dict[str, type[EntryCommand]] = {
    "wind": LogWind,
    "sighting": LogSighting,
    "wear": LogWear,
    "winder": LogWinder,
    "service": LogService,
    "reading": LogReading,
    "sign": LogSign,
}
FLAGS = {
    "wind": ("date_set", "nothing_between", "side_spring_used"),
    "sighting": ("nothing_between", "side_spring_used"),
}
UNSAID: dict[str, Mapping[str, object]] = {
    "wind": {"amount": "full", "found": "not noticed", "hands": "unknown"},
    "sighting": {"seen": "going"},
    "wear": {"act": "put on"},
    "winder": {"act": "on"},
    "service": {},
    "reading": {"position": "CH", "occasion": "in between"},
    "sign": {"sign": "turns left"},
}
"""What a form of each kind opens with."""


def kinds(watch: Watch) -> list[tuple[str, str]]:
    """Every kind there may be of this watch, with its label."""
    told = [
        ("wind", say("a wind")),
        ("sighting", say("what was seen")),
        ("wear", say("put on or laid down")),
        ("winder", say("on the winder or off it")),
        ("service", say("a service")),
        ("reading", say("a timing reading")),
        ("sign", say("a sign of a fault")),
    ]
    return [each for each in told if each[0] != "winder" or watch.by_rotor]


def title(kind: str, nickname: str, *, correcting: bool) -> str:
    """What the page asks."""
    if correcting:
        return say("What was it really?")
    questions = {
        "wind": say("How was {nickname} wound?", nickname=nickname),
        "sighting": say("How was {nickname} seen?", nickname=nickname),
        "wear": say("Was {nickname} put on or laid down?", nickname=nickname),
        "winder": say("Was {nickname} put on the winder or taken off it?", nickname=nickname),
        "service": say("What was done to {nickname}?", nickname=nickname),
        "reading": say("What did {nickname} read?", nickname=nickname),
        "sign": say("What was found of {nickname}?", nickname=nickname),
    }
    return questions[kind]


def kind_of(asked: str, replaced: Row | None) -> str:
    """The kind the address asks for; a correction stays of its own kind.

    Raises:
        NotFound: there is no such kind.
    """
    kind = KIND_OF_TABLE[replaced["table"]] if replaced else asked or "wind"
    if kind not in COMMANDS:
        raise NotFound(say("There is no such kind of entry."))
    return kind


def fresh(kind: str, asked: Mapping[str, str], replaced: Row | None) -> dict[str, object]:
    """What the form opens with: the entry under correction, else the plain case and what the address adds to it."""
    if replaced:
        flags = {flag: bool(replaced[flag]) or flag in asked for flag in FLAGS.get(kind, ())}
        told = {name: replaced[name] for name in [*_own(kind), "note"] if name != "parts"}
        return {"when": "as noted"} | told | flags | partfields.fresh(replaced.get("parts", ()))
    return {"when": "now", **UNSAID[kind]} | {name: asked[name] for name in [*_own(kind), "when"] if name in asked}


def command(kind: str, form: Form, watch_uid: str, said: Said, *, replaces: Row | None) -> EntryCommand:
    """The command a form asks for.

    Raises:
        Rejected: what can't be taken, by field.
    """
    flags = FLAGS.get(kind, ())
    told = values_of(form, [name for name in [*_own(kind), "note"] if name not in flags], flags=flags)
    return build(
        COMMANDS[kind],
        {
            **told,
            **({"parts": partfields.given(form)} if kind == "service" else {}),
            "uid": form.get("uid", ""),
            "watch_uid": watch_uid,
            "at": said.at,
            "zone": said.zone_name,
            "within_min": said.within_min,
            **_carried_over(kind, replaces),
        },
    )


def _carried_over(kind: str, replaced: Row | None) -> dict[str, object]:
    """What a correction keeps of the entry it replaces without asking."""
    if replaced is None:
        return {}
    return {"replaces": replaced["uid"]} | ({"worn_by": replaced["worn_by"]} if kind == "wear" else {})


def _own(kind: str) -> list[str]:
    """The fields this kind of entry has beyond those of every entry; who wore it is not asked yet."""
    return [name for name in COMMANDS[kind].model_fields if name not in EntryCommand.model_fields and name != "worn_by"]
