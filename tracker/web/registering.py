"""From the register form to commands: one nickname a line, what is common to them, and a first look or winding."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal

from tracker import phrases
from tracker.commands.base import Command
from tracker.commands.build import build
from tracker.commands.log import LogSighting, LogWind
from tracker.commands.register import FIELD_NAMES, RegisterWatch
from tracker.core.when import NOW_WITHIN_MIN
from tracker.errors import BadInput, Rejected
from tracker.uids import uid_of
from tracker.web.forms import Form, values_of
from tracker.words import say

FRESH = {"habit": "when worn"}
"""What the form opens with; the rest is the command's own default."""
FLAGS = ("date_window", "screw_down_crown", "looks_offered")
ONE_WATCH_ONLY = ("serial", "value", "job_number")

Found = Literal["going", "stopped", "not noticed"]
FOUND: dict[str, Found] = {
    "going": "going",
    "stopped": "stopped",
    "don't know": "not noticed",
    "don’t know": "not noticed",
}
"""What may stand after the comma of a line, and what it says."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the list: its number as typed, the nickname, the state."""

    number: int
    nickname: str
    found: Found


def lines(text: str) -> list[Line]:
    """The watches of a list; a line whose last comma no known state follows keeps it, for `commands_of` to refuse."""
    found = []
    for number, typed in enumerate(text.splitlines(), start=1):
        nickname, comma, state = typed.rpartition(",")
        known = FOUND.get(state.strip().casefold()) if comma else None
        if typed.strip():
            found.append(Line(number, nickname if known else typed, known or "not noticed"))
    return found


def commands_of(form: Form, now: datetime, zone: str) -> list[Command]:
    """The watches named in a form, each with its first entry if one was told.

    Raises:
        Rejected: what is wrong, by field; nicknames under `nicknames`.
    """
    named = lines(form.get("nicknames", ""))
    common = values_of(form, [name for name in FIELD_NAMES if name not in FLAGS], flags=FLAGS)
    problems = list(_problems_of_list(named, form))
    commands = list[Command]()
    for line in named:
        try:
            watch = build(RegisterWatch, {**common, "uid": _uid(form, "watch", line), "nickname": line.nickname})
            commands += [watch, *_first_entry(watch.uid, line, form, now, zone)]
        except Rejected as error:
            problems += [_at_line(problem, line) for problem in error.problems]
    if problems:
        raise Rejected(problems)
    return commands


def taken_in(commands: Sequence[Command]) -> str:
    """The customer's watch that was registered, by its uid; empty if it is the owner's or one of several."""
    watches = [each for each in commands if isinstance(each, RegisterWatch)]
    return watches[0].uid if len(watches) == 1 and watches[0].job_number else ""


def _problems_of_list(named: Sequence[Line], form: Form) -> Iterator[BadInput]:
    if not named:
        yield BadInput(say("No watch is named."), field="nicknames", accepted=say("Write one nickname a line."))
    seen = set[str]()
    for line in named:
        nickname = line.nickname.strip()
        if "," in nickname:
            yield BadInput(
                say("Line {line}: “{state}” is no state.", line=line.number, state=nickname.rpartition(",")[2].strip()),
                field="nicknames",
                accepted=say("After a comma write going, stopped or don't know; a nickname in this list has no comma."),
            )
        if nickname.casefold() in seen:
            yield BadInput(
                say("Line {line}: “{nickname}” is named twice.", line=line.number, nickname=nickname),
                field="nicknames",
                accepted=say("Give each watch its own nickname."),
            )
        seen.add(nickname.casefold())
    for name in ONE_WATCH_ONLY if len(named) > 1 else ():
        if form.get(name, "").strip():
            yield BadInput(
                say("This can't be the same for {count} watches.", count=len(named)),
                field=name,
                accepted=say("Leave it empty here and give it to each watch afterwards."),
            )


def _at_line(problem: BadInput, line: Line) -> BadInput:
    if problem.field != "nickname":
        return problem
    what = say("Line {line}: {what}", line=line.number, what=problem.what)
    return BadInput(what, field="nicknames", accepted=problem.accepted)


def _first_entry(watch_uid: str, line: Line, form: Form, now: datetime, zone: str) -> Iterator[Command]:
    fields: dict[str, Any] = {
        "uid": _uid(form, "entry", line),
        "watch_uid": watch_uid,
        "at": now,
        "zone": zone,
        "within_min": NOW_WITHIN_MIN,
    }
    if form.get("just_wound"):
        yield build(LogWind, {**fields, "found": line.found, "hands": "left" if line.found == "going" else "unknown"})
    elif line.found != "not noticed":
        yield build(LogSighting, {**fields, "seen": line.found})


def _uid(form: Form, kind: str, line: Line) -> str:
    """A name that the same page gives twice for the same line, so that a double tap is one change."""
    return uid_of(form.get("uid", ""), kind, str(line.number))


def said(form: Form) -> str:
    """What was done, as a sentence."""
    named = lines(form.get("nicknames", ""))
    if len(named) == 1:
        return say("{nickname} is in the collection.", nickname=named[0].nickname.strip())
    return say("{count} watches are in the collection.", count=phrases.capital(phrases.number(len(named))))
