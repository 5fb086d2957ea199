"""When it happened, as a form asks it: one word, about some time on the clock, or a full local date and time."""

from dataclasses import replace
from datetime import datetime
from typing import get_args
from zoneinfo import ZoneInfo

from tracker.commands.fields import comma_as_point
from tracker.core.when import NoMoment, Said, Word, said, written
from tracker.errors import BadInput, BadMoment
from tracker.web.forms import Form
from tracker.words import say

FULL = "full"
AS_NOTED = "as noted"
WIDEST_MIN = 14 * 24 * 60.0


def moment_of(form: Form, now: datetime, zone: ZoneInfo, *, noted: Said | None = None) -> Said:
    """The moment a form means. `noted` is what the entry under correction says: it may stay.

    Raises:
        BadInput: it names no moment, or two; its field is `when`, `clock`, `local` or `give_or_take_min`.
    """
    word = form.get("when", "now")
    if word == AS_NOTED and noted is not None:
        return noted
    if word == FULL:
        return _full(form, now, zone)
    if word not in get_args(Word):
        raise BadInput(say("It is not said when."), field="when", accepted=say("Choose one of the times."))
    try:
        return said(word, form.get("clock", ""), now, zone)  # type: ignore[arg-type]  # checked just above
    except NoMoment as error:
        raise BadMoment(error.why, error.said, zone=zone.key, choices=error.choices, field="clock") from error


def _full(form: Form, now: datetime, zone: ZoneInfo) -> Said:
    if not form.get("local", "").strip():
        raise BadInput(say("No day is given."), field="local", accepted=say("Choose one."))
    try:
        found = written(form.get("local", ""), now, zone)
    except NoMoment as error:
        raise BadMoment(error.why, error.said, zone=zone.key, choices=error.choices, field="local") from error
    typed = form.get("give_or_take_min", "").strip()
    return replace(found, within_min=_minutes(typed)) if typed else found


def _minutes(typed: str) -> float:
    try:
        minutes = float(str(comma_as_point(typed)))
    except ValueError:
        minutes = -1.0
    if not 0 <= minutes <= WIDEST_MIN:
        raise BadInput(
            say("“{typed}” is not a number of minutes.", typed=typed),
            field="give_or_take_min",
            accepted=say("Give 0 or more, at most two weeks."),
        )
    return minutes
