"""The Round page: what do I wind now?"""

from collections.abc import Mapping

from flask import Blueprint, render_template
from werkzeug.datastructures import MultiDict

from tracker.figures import survey
from tracker.moving import unmoved
from tracker.newest import newest_change
from tracker.planning import planned
from tracker.reminders.shown import on_page
from tracker.store import register
from tracker.turn import turn
from tracker.uids import new_uid
from tracker.web import cautions, firststeps, heardwords, pending, planview, roundsaid, roundview
from tracker.web.board import board
from tracker.web.forms import Form
from tracker.web.request import away, for_owner, line_for, now, preferences, store, who, zone

pages = Blueprint("round", __name__)


@pages.get("/")
def page() -> str:
    """The round as it stands."""
    return show(MultiDict(), {})


def show(form: Form, problems: Mapping[str, str]) -> str:
    """The page with what was typed into it, and a sentence by each field that can't be taken."""
    line, found = line_for(), survey(store(), now(), with_runs=False).own
    figures, lacking = found.known, pending.pending(found.waiting)
    settings = preferences().values
    plan = planned(figures, settings, now(), sitting=True, away=away())
    due = turn(plan, {each.watch.uid: each.standing.wind_by for each in figures})
    parts = roundview.parts(figures, now(), zone(), due)
    rows = roundview.with_asked(parts.rows, figures, problems)
    drawn = board(figures, parts.rows, now(), zone())
    none_yet, lacks_steps = (
        not figures and not found.waiting,
        for_owner() and set(settings.first_steps_settled) != {*firststeps.ALL},
    )
    return render_template(
        "round.html",
        **(firststeps.shown(firststeps.steps()) if none_yet and lacks_steps else {}),
        steps_open=firststeps.left_open() if lacks_steps and not none_yet else "",
        parts=parts,
        none_yet=none_yet,
        customers_in=any(each.customers for each in register.watches(store().reading())),
        head=roundsaid.first_line(parts, now(), zone(), to_come=pending.to_wind(lacking)),
        lacking=lacking,
        line=line,
        asks=pending.asks(line),
        pending=pending,
        last_call=roundsaid.last_call(on_page(store().reading(), now()), now(), zone()),
        rows=[roundsaid.row(each, parts, now(), zone()) for each in rows],
        past_resistance=cautions.past_resistance(each.watch for each in rows),
        sitting=roundsaid.sitting(parts),
        doubtful=[(each, roundsaid.doubtful(each, now(), zone())) for each in parts.doubtful],
        left_to_run=[(each, roundsaid.left_to_run(each, now(), zone())) for each in parts.left_to_run],
        open_questions=heardwords.on_round(figures, now(), zone()),
        at_rest=roundsaid.at_rest(parts),
        movable=due.planned if due else (),
        plan=planview.shown(plan, figures, now(), zone(), without=unmoved(plan, figures, settings, now(), away())),
        board=drawn,
        forms={row.form for row in drawn.rows},
        form=form,
        problems=problems,
        unplaced=roundview.unplaced(problems, rows),
        newest=newest_change(store().reading(), who().person_uid, now(), zone()),
        key=form.get("key") or new_uid(now()),
        now=now(),
        zone=zone(),
    )
