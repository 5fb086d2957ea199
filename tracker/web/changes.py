"""The page of what changed lately: who changed what, when, from where; and how it is taken back."""

from collections.abc import Sequence

from flask import Blueprint, render_template, request, url_for

from tracker.store import batches, register
from tracker.web import changewords
from tracker.web.changewords import Change
from tracker.web.request import now, store, zone
from tracker.words import say

pages = Blueprint("changes", __name__)

AT_ONCE = 30
MOST_DIGITS = 18
"""A longer number is none that a file could hold."""


@pages.get("/changes")
def page() -> str:
    """The newest changes, of one watch or by one person if the address asks for it, older ones page by page."""
    db, before = store().reading(), request.args.get("before", "")
    watch, people = register.watch(db, request.args.get("watch", "")), batches.names_of_people(db)
    person = request.args.get("person", "") if request.args.get("person") in people else ""
    found = batches.newest(
        db,
        AT_ONCE + 1,
        before=int(before) if before.isascii() and before.isdigit() and len(before) < MOST_DIGITS else None,
        watch_uid=watch.uid if watch else "",
        person_uid=person,
    )
    rows = changewords.changes(db, found[:AT_ONCE], now(), zone())
    return render_template(
        "changes.html",
        head=head(rows, watch.nickname if watch else "", people.get(person, ""), older=bool(before)),
        rows=rows,
        watch=watch,
        person=person,
        people=people,
        older=_older(found, watch.uid if watch else None, person or None),
        newer=bool(before),
        here=request.full_path.rstrip("?"),
    )


def _older(found: Sequence[batches.Batch], watch_uid: str | None, person_uid: str | None) -> str:
    """The address of what comes after these, if anything does."""
    if len(found) <= AT_ONCE:
        return ""
    return url_for("changes.page", before=found[AT_ONCE - 1].first, watch=watch_uid, person=person_uid)


def head(rows: list[Change], nickname: str, person: str, *, older: bool) -> str:
    """What was changed last, of what the address asks for."""
    if not rows:
        return say("Nothing was changed before that.") if older else say("Nothing was changed yet.")
    if older:
        return say("What was changed until {when}", when=rows[0].when)
    newest = rows[0].brief
    if nickname:
        return say("Changed last of {nickname}: {what}, {when}.", nickname=nickname, what=newest, when=rows[0].when)
    if person:
        return say("Changed last by {name}: {what}, {when}.", name=person, what=newest, when=rows[0].when)
    return say("Changed last: {what}, {when}.", what=newest, when=rows[0].when)
