"""From what was tapped in the round to commands."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from tracker import phrases
from tracker.commands.base import EntryCommand
from tracker.commands.build import build
from tracker.commands.log import LogSighting, LogWind
from tracker.core.when import Said
from tracker.errors import BadInput, Rejected
from tracker.uids import uid_of
from tracker.web.forms import Form
from tracker.web.moment import moment_of
from tracker.words import say

DONE = {
    "wound-going": "Noted: {names} wound {when}, found going.",
    "wound-stopped": "Noted: {names} wound {when}, found stopped.",
    "seen-going": "Noted: {names} seen going {when}.",
    "seen-stopped": "Noted: {names} found stopped {when}, not wound.",
}
"""Every act a button can name, and what is said once it is noted."""
SENT = {
    "wound-going": "Sent: {names} wound {when}, found going.",
    "wound-stopped": "Sent: {names} wound {when}, found stopped.",
    "seen-going": "Sent: {names} seen going {when}.",
    "seen-stopped": "Sent: {names} found stopped {when}, not wound.",
}
"""The same of what was kept for a while on the device it was tapped on."""
PART_OF_DAY = {"this morning": "{day} in the morning", "last night": "{day} at night"}

DATE_TOO = "set now, date too"
MOST_NAMED = 4


@dataclass(frozen=True, slots=True)
class Tap:
    """One button: what happened (one of `DONE`), and to which watches."""

    act: str
    watch_uids: tuple[str, ...]


def tap_of(form: Form) -> Tap:
    """Which button was tapped: `ACT UID`, or `all ACT` for those ticked.

    Raises:
        BadInput: none, or none that we know; or nothing was ticked.
    """
    first, _, second = form.get("do", "").partition(" ")
    act, uids = (second, tuple(form.getlist("in"))) if first == "all" else (first, (second,))
    if act not in DONE:
        raise BadInput(say("It is not said what happened; nothing was noted."), accepted=say("Use one of the buttons."))
    if not uids:
        raise BadInput(say("No watch is ticked; nothing was noted."), field="in", accepted=say("Tick one or more."))
    return Tap(act, uids)


def commands_of(tap: Tap, form: Form, now: datetime, zone: ZoneInfo) -> list[EntryCommand]:
    """One command for each watch; each uid follows from the page's own and the act, so that a double tap is one change.

    Raises:
        Rejected: everything that is wrong, by the name of the field in this form.
    """
    commands, problems = list[EntryCommand](), list[BadInput]()
    try:
        said = _moment(form, now, zone)
    except BadInput as problem:
        problems.append(problem)
        said = Said(now, zone.key, 0.0)  # so that the other fields are read too
    for uid in tap.watch_uids:
        try:
            commands.append(command_of(tap.act, uid, form, said))
        except Rejected as error:
            problems += [_of_watch(problem, uid) for problem in error.problems]
    if problems:
        raise Rejected(problems)
    return commands


def _moment(form: Form, now: datetime, zone: ZoneInfo) -> Said:
    if form.get("when") == "about" and not form.get("clock", "").strip():
        raise BadInput(say("No time is given."), field="clock", accepted=say("Give it as 07:30."))
    return moment_of(form, now, zone)


def fields_of(watch_uid: str) -> dict[str, str]:
    """What this form calls the fields of a command about one watch."""
    return {"shown": f"shown-{watch_uid}", "shown_date": f"date-{watch_uid}", "hands": f"hands-{watch_uid}"}


def _of_watch(problem: BadInput, uid: str) -> BadInput:
    field = fields_of(uid).get(problem.field, problem.field)
    return BadInput(problem.what, field=field, accepted=problem.accepted)


def command_of(act: str, uid: str, form: Form, said: Said) -> EntryCommand:
    """The command of this act (one of `DONE`) with what the form says of this watch.

    Raises:
        Rejected: what can't be taken, by the field of the command.
    """
    kind, _, state = act.partition("-")
    hands = form.get(f"hands-{uid}", "")
    fields: dict[str, Any] = {
        "uid": uid_of(form.get("key", ""), uid, act),
        "watch_uid": uid,
        "at": said.at,
        "zone": said.zone_name,
        "within_min": said.within_min,
        "shown": form.get(f"shown-{uid}", ""),
        "shown_date": form.get(f"date-{uid}", ""),
    }
    if kind == "seen":
        _refuse_hands(hands)
        return build(LogSighting, fields | {"seen": state})
    return build(LogWind, fields | {"found": state} | _hands(hands, state))


def _hands(chosen: str, state: str) -> dict[str, object]:
    if not chosen:
        return {"hands": "left" if state == "going" else "unknown"}
    return {"hands": chosen.partition(",")[0], "date_set": chosen == DATE_TOO}


def _refuse_hands(chosen: str) -> None:
    if chosen:
        what = say("What was done to the hands is noted with a winding.")
        raise Rejected([BadInput(what, field="hands", accepted=say("Leave it open for a look alone."))])


def done_said(tap: Tap, nicknames: Sequence[str], form: Form, now: datetime, zone: ZoneInfo) -> str:
    """What was noted and for when, as a sentence; beyond a few watches their number."""
    said = form.get("when", "now")
    when = phrases.when(_moment(form, now, zone).at, now, zone) if said == "about" else say(said)
    return say(DONE[tap.act], names=_names(nicknames), when=when)


def sent_said(tap: Tap, nicknames: Sequence[str], when: str) -> str:
    """The same where it was sent late."""
    return say(SENT[tap.act], names=_names(nicknames), when=when)


def when_said(form: Form, tapped_at: datetime, now: datetime, zone: ZoneInfo) -> str:
    """When it happened, for one who reads it later than it was tapped."""
    at = _moment(form, tapped_at, zone).at
    part = PART_OF_DAY.get(form.get("when", "now"))
    return say(part, day=phrases.day(at, now, zone)) if part else phrases.when(at, now, zone)


def _names(nicknames: Sequence[str]) -> str:
    few = len(nicknames) <= MOST_NAMED
    return ", ".join(nicknames) if few else say("{n} watches", n=phrases.number(len(nicknames)))
