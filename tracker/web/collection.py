"""The Collection page: what have I got, in what state? And how a watch joins it."""

from flask import Blueprint, render_template, request
from werkzeug.wrappers import Response

from tracker.figures import survey
from tracker.store import finding, portraits
from tracker.store import register as shelf
from tracker.uids import new_uid, uid_of
from tracker.web import customerview, findview, pending, registering, reservewords, table, telling
from tracker.web.forms import Answer, Form, form_page
from tracker.web.request import back_to, change, for_owner, line_for, now, preferences, store, zone

pages = Blueprint("collection", __name__)


@pages.get("/collection")
def page() -> str:
    """Every watch in use, as the address asks for them."""
    line, found = line_for(), survey(store(), now(), with_runs=False).own
    figures, lacking = found.known, pending.pending(found.waiting)
    wanted, db = table.wanted(request.args), store().reading()
    sought = finding.found(db, wanted.q, for_owner=for_owner()) if wanted.q else None
    rows = table.rows(figures, wanted, sought)
    every = shelf.every_watch(db) if for_owner() else [each.watch for each in found.waiting]
    others = (
        [] if sought is None or wanted.state else findview.elsewhere(every, sought, {each.watch.uid for each in rows})
    )
    return render_template(
        "collection.html",
        figures=figures,
        head=table.first_line(figures, to_come=len(lacking.to_come), failed=len(lacking.failed)),
        lacking=lacking,
        line=line,
        asks=pending.asks(line),
        pending=pending,
        rows=rows,
        others=others,
        said=findview.said(wanted.q, len(rows) + len(others)) if wanted.q else "",
        wanted=wanted,
        portraits=portraits.first_of_each(store().reading()),
        put_away=shelf.watches(store().reading(), archived=True),
        customers=len(customerview.jobs(shelf.watches(store().reading()), customerview.IN)),
        any_customers=any(each.customers for each in shelf.watches(store().reading())),
        telling=telling,
        reservewords=reservewords,
        table=table,
        headers=table.headers(),
        states=table.choices(),
        now=now(),
        zone=zone(),
    )


@pages.get("/collection/archived")
def archived() -> str:
    """Every watch that was put away."""
    put_away = shelf.watches(store().reading(), archived=True)
    return render_template("archived.html", watches=put_away, uid=new_uid(now()), key_of=uid_of, now=now(), zone=zone())


@pages.route("/collection/register", methods=["GET", "POST"])
def register() -> Answer:
    """Register one watch or many."""
    return form_page("register.html", _register, fresh=registering.FRESH, shown_as={"nickname": "nicknames"})


def _register(form: Form) -> Response:
    commands = registering.commands_of(form, now(), preferences().values.zone)
    change(commands, registering.said(form))
    taken_in = registering.taken_in(commands)
    if taken_in:
        return back_to("watch.page", uid=taken_in)
    return back_to("round.page" if form.get("habit") == "keep going" else "collection.page")
