"""Where the script of the pages sends what was tapped: at once, or later with the time of the tap."""

import math
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from flask import Blueprint, jsonify, request, url_for
from flask_wtf.csrf import CSRFError, generate_csrf
from werkzeug.exceptions import HTTPException
from werkzeug.wrappers import Response

from tracker import brought
from tracker.commands.base import EntryCommand
from tracker.commands.build import build
from tracker.commands.door import submit
from tracker.commands.undo import Undo
from tracker.errors import BadInput, GoingError
from tracker.store import command_log
from tracker.web import taps
from tracker.web.attaching import with_photographs
from tracker.web.entry import nicknames
from tracker.web.problems import SENTENCES
from tracker.web.request import change, now, ours, store, tell, then, visitor, who, zone
from tracker.words import say

pages = Blueprint("kept", __name__)

LONGEST = timedelta(days=400)
"""How long after the tap it may still be sent."""


@pages.get("/log/kept")
def whose() -> Response:
    """Who is logged in, and a token of the session that stands now: that of the page may be of an older one."""
    found = visitor()
    return _said(token=generate_csrf(), person="" if found is None else found.person.uid)


@pages.post("/log/kept")
def send() -> Response:
    """Note one tap of the round as it was when it was tapped; it is one change however often it comes."""
    tapped, late = taps.tap_of(request.form), bool(request.form.get("late"))
    at, where = now() - _ago() if late else now(), _zone()
    entries = taps.commands_of(tapped, request.form, at, where)
    if request.form.get("withdrawn"):
        _take_back(entries)
    else:
        _note(tapped, entries, at, where)
    wanted = request.form.get("next", "")
    return _said(to=wanted if ours(wanted) else url_for("round.page"))


def _note(tapped: taps.Tap, entries: list[EntryCommand], at: datetime, where: ZoneInfo) -> None:
    commands, names = with_photographs(entries, lambda entry: f"photo-{entry.watch_uid}"), nicknames(tapped.watch_uids)
    if not request.form.get("late"):
        change(commands, taps.done_said(tapped, names, request.form, at, where))
        return
    done = submit(store(), commands, who(), then=then())
    said = taps.sent_said(tapped, names, taps.when_said(request.form, at, now(), where))
    tell(f"{said} {brought.told(store().reading(), done.brought)}".rstrip(), done.batch)


def _take_back(entries: list[EntryCommand]) -> None:
    """What was taken back in the page before it knew whether it had arrived."""
    record = command_log.find_command(store().reading(), entries[0].uid)
    if record is not None and record["undone_by"] is None:
        submit(store(), [build(Undo, {"batch": record["batch"]})], who(), then=then())


def _ago() -> timedelta:
    """How long ago it was tapped, by the clock of the device it was tapped on: whether that is right does not matter.

    Raises:
        BadInput: it is no length, or too long.
    """
    try:
        seconds = float(request.form.get("ago_s", "0"))
    except ValueError:
        seconds = math.nan
    if not seconds <= LONGEST.total_seconds():
        raise BadInput(
            say("It is not known when this was tapped; nothing was noted."),
            field="ago_s",
            accepted=say("Note it on the page of the watch."),
        )
    return timedelta(seconds=max(seconds, 0.0))  # a clock set back meanwhile: it was tapped just now


def _zone() -> ZoneInfo:
    """The owner's zone as it was at the tap."""
    try:
        return ZoneInfo(request.form["zone"])
    except (KeyError, ValueError, OSError):
        return zone()


def _said(**values: str) -> Response:
    answer: Response = jsonify(values)
    answer.headers["Cache-Control"] = "no-store"
    return answer


@pages.errorhandler(GoingError)
def _refused(error: GoingError) -> tuple[Response, int]:
    return _said(problem=error.sentence), error.status


@pages.errorhandler(CSRFError)
def _stale(_: CSRFError) -> tuple[Response, int]:
    """Another session began between the token and the tap: it is sent again."""
    return _said(stale="yes"), 400


@pages.errorhandler(HTTPException)
def _http(error: HTTPException) -> tuple[Response, int]:
    status = error.code or 500
    return _said(problem=say(SENTENCES.get(status, SENTENCES[400]))), status
