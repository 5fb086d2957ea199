"""The page While away: what happens while I am gone? All it is asked stands in its address, and is kept only if told to."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from flask import Blueprint, render_template, request

from tracker.core.when import NoMoment, clock_time, written
from tracker.errors import BadInput, BadMoment
from tracker.figures import Figures, survey
from tracker.staying import MOST_DAYS, Absence, absence, refuse_impossible, visits_every
from tracker.uids import new_uid, uid_of
from tracker.web import absences, awayview, pending
from tracker.web.forms import Form
from tracker.web.request import line_for, now, preferences, store, zone
from tracker.words import say

pages = Blueprint("away", __name__)

MIDDAY = "10:00"
"""When whoever comes by is taken to come, if nobody says."""


@dataclass(slots=True)
class Asked:
    """What the address asks: times, uids that travel along, days between visits; sentences by field that can't be taken."""

    leave: datetime | None = None
    back: datetime | None = None
    taken: tuple[str, ...] = ()
    visits: tuple[datetime, ...] = ()
    problems: dict[str, str] = field(default_factory=dict)


@pages.get("/away")
def page() -> str:
    """The form, and below it the absence it asks about."""
    return _page("away.html")


@pages.get("/away/sheet")
def sheet() -> str:
    """The sheet for whoever comes by to wind, to be printed."""
    return _page("awaysheet.html")


def _page(template: str) -> str:
    line, found = line_for(), survey(store(), now(), with_runs=False).own
    asked = _asked(request.args)
    answered = _absence(found.known, asked)
    return render_template(
        template,
        asked=asked,
        form=request.args,
        problems=asked.problems,
        watches=sorted(
            {each.watch.uid: each.watch.nickname for each in found.known}.items(), key=lambda pair: pair[1].casefold()
        ),
        places={each.watch.uid: each.watch.place for each in found.known},
        shown=awayview.shown(answered, now(), zone()) if answered else None,
        lacking=pending.pending(found.waiting),
        line=line,
        asks=pending.asks(line),
        pending=pending,
        suggested=_suggested(),
        no_visit=awayview.no_visit(),
        kept=absences.kept(store().reading(), now(), zone()),
        key=new_uid(now()),
        key_of=uid_of,
        address=request.args.to_dict(flat=False),
    )


def _absence(figures: list[Figures], asked: Asked) -> Absence | None:
    if asked.problems or asked.leave is None or asked.back is None:
        return None
    return absence(
        figures,
        preferences().values,
        now(),
        leave=asked.leave,
        back=asked.back,
        taken=asked.taken,
        visits=asked.visits,
    )


def _suggested() -> Mapping[str, str]:
    """What an empty form opens with: from tomorrow morning for two days."""
    tomorrow = now().astimezone(zone()).replace(hour=8, minute=0) + timedelta(days=1)
    return {
        "leave": tomorrow.strftime("%Y-%m-%dT%H:%M"),
        "back": (tomorrow + timedelta(days=2, hours=10)).strftime("%Y-%m-%dT%H:%M"),
    }


def _asked(form: Form) -> Asked:
    asked = Asked(taken=tuple(form.getlist("with")))
    if "leave" not in form:
        return asked
    asked.leave, asked.back = (_moment(form, name, asked) for name in ("leave", "back"))
    if asked.leave and asked.back:
        try:
            refuse_impossible(asked.leave, asked.back, now())
        except BadInput as error:
            asked.problems[error.field] = error.sentence
        asked.visits = _visits(form, asked.leave, asked.back, asked)
    return asked


def _moment(form: Form, name: str, asked: Asked) -> datetime | None:
    try:
        return written(form.get(name, ""), now(), zone()).at
    except NoMoment as error:
        problem = BadMoment(error.why, error.said, zone=zone().key, choices=error.choices, field=name)
        asked.problems[name] = problem.sentence
        return None


def _visits(form: Form, leave: datetime, back: datetime, asked: Asked) -> tuple[datetime, ...]:
    """The visits the form asks for."""
    typed = form.get("every", "").strip()
    if not typed:
        return ()
    try:
        every, at = _days(typed), clock_time(form.get("at", "").strip() or MIDDAY)
    except BadInput as error:
        asked.problems["every"] = error.sentence
        return ()
    except NoMoment as error:
        asked.problems["at"] = BadMoment(error.why, error.said, zone=zone().key).sentence
        return ()
    return visits_every(every, at, leave, back, zone())


def _days(typed: str) -> int:
    if not typed.isascii() or not typed.isdigit() or not 0 < int(typed) <= MOST_DAYS:
        raise BadInput(
            say("“{typed}” is no number of days.", typed=typed),
            accepted=say("Give one from 1 to {most}.", most=MOST_DAYS),
        )
    return int(typed)
