"""What somebody wrote on a sheet, typed in at once: of each watch how it was and when, one day together."""

from collections.abc import Sequence
from datetime import date, datetime
from zoneinfo import ZoneInfo

from flask import Blueprint, render_template, request
from werkzeug.datastructures import MultiDict
from werkzeug.wrappers import Response

from tracker import phrases
from tracker.commands.base import EntryCommand
from tracker.core.watch import Watch
from tracker.core.when import CLOCK_WITHIN_MIN, NoMoment, Said, clock_time, written
from tracker.errors import BadInput, BadMoment, Rejected
from tracker.store import register
from tracker.uids import new_uid
from tracker.web import taps
from tracker.web.forms import Form, by_field
from tracker.web.request import back_to, change, now, store, zone
from tracker.words import say

pages = Blueprint("typedin", __name__)

ACTS = {
    "": "nothing",
    "wound-going": "wound; it was going",
    "wound-stopped": "wound; it had stopped",
    "seen-going": "only seen going",
    "seen-stopped": "stopped, not wound",
}


@pages.route("/round/written", methods=["GET", "POST"])
def page() -> str | Response | tuple[str, int]:
    """The form of a day; all of it is one change."""
    if request.method != "POST":
        return _form(MultiDict(request.args), {})
    try:
        commands = commands_of(request.form, _watches(), now(), zone())
    except (BadInput, Rejected) as error:
        return _form(request.form, by_field(error, {})), error.status
    change(commands, say("Noted: {n} of {day}.", n=phrases.number(len(commands)), day=_day_said(request.form)))
    return back_to("typedin.page", day=request.form.get("day"))


def _form(form: Form, problems: dict[str, str]) -> str:
    asked = set(request.args.getlist("watch"))
    return render_template(
        "typedin.html",
        watches=[watch for watch in _watches() if watch.uid in asked or not asked],
        some=bool(asked),
        acts=[(word, say(label)) for word, label in ACTS.items()],
        form=form,
        problems=problems,
        today=now().astimezone(zone()).date().isoformat(),
        key=form.get("key") or new_uid(now()),
    )


def _watches() -> list[Watch]:
    """The owner's watches in use, those that are kept going first."""
    own = [watch for watch in register.watches(store().reading()) if not watch.customers]
    return sorted(own, key=lambda watch: (watch.habit != "keep going", watch.nickname.casefold()))


def _day_said(form: Form) -> str:
    return phrases.date_of(date.fromisoformat(form.get("day", "")))


def commands_of(form: Form, watches: Sequence[Watch], now: datetime, zone: ZoneInfo) -> list[EntryCommand]:
    """One command for each watch of which anything is said.

    Raises:
        Rejected: everything that can't be taken, by the name of its field.
    """
    day, commands, problems = _day(form), list[EntryCommand](), list[BadInput]()
    for watch in watches:
        act = form.get(f"act-{watch.uid}", "")
        if not act and not form.get(f"time-{watch.uid}", "").strip():
            continue
        try:
            commands.append(taps.command_of(_act(act), watch.uid, form, _said(form, watch.uid, day, now, zone)))
        except BadInput as problem:
            problems.append(_of(problem, watch.uid))
        except Rejected as error:
            problems += [_of(problem, watch.uid) for problem in error.problems]
    if problems:
        raise Rejected(problems)
    if not commands:
        raise BadInput(say("Nothing is said of any watch."), field="day", accepted=say("Choose how one was."))
    _check_past(commands, now)
    return commands


def _of(problem: BadInput, uid: str) -> BadInput:
    field = problem.field if problem.field in {"act", "shown"} else "time"
    return BadInput(problem.what, field=f"{field}-{uid}", accepted=problem.accepted)


def _check_past(commands: Sequence[EntryCommand], now: datetime) -> None:
    late = [
        BadInput(
            say("This time lies in the future."),
            field=f"time-{each.watch_uid}",
            accepted=say("An entry tells what has happened already."),
        )
        for each in commands
        if each.at > now
    ]
    if late:
        raise Rejected(late)


def _act(act: str) -> str:
    if act not in taps.DONE:
        raise BadInput(say("It is not said how it was."), field="act", accepted=say("Choose one."))
    return act


def _day(form: Form) -> date:
    typed = form.get("day", "").strip()
    try:
        return date.fromisoformat(typed)
    except ValueError as error:
        raise BadInput(say("No day is given."), field="day", accepted=say("Choose one.")) from error


def _said(form: Form, uid: str, day: date, now: datetime, zone: ZoneInfo) -> Said:
    """The time written beside this watch, else the one for all."""
    typed = form.get(f"time-{uid}", "").strip() or form.get("usual", "").strip()
    if not typed:
        raise BadInput(say("No time is given."), field="time", accepted=say("Give it as 07:30, or one for all above."))
    try:
        at = written(f"{day.isoformat()}T{clock_time(typed):%H:%M}", now, zone)
    except NoMoment as error:
        raise BadMoment(error.why, error.said, zone=zone.key, choices=error.choices, field="time") from error
    return Said(at.at, zone.key, CLOCK_WITHIN_MIN)
