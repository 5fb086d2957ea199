"""Where what was tapped comes in: wound, seen, a whole sitting, undone, taken out."""

from flask import Blueprint, request, url_for
from werkzeug.wrappers import Response

from tracker.commands.build import build
from tracker.commands.door import submit
from tracker.commands.log import VoidEntry
from tracker.commands.undo import Undo
from tracker.errors import BadInput, Rejected
from tracker.store import register
from tracker.uids import new_uid
from tracker.web import round_, taps, watch
from tracker.web.attaching import with_photographs
from tracker.web.forms import by_field
from tracker.web.request import back_to, change, now, store, tell, then, who, zone
from tracker.words import say

pages = Blueprint("entry", __name__)


@pages.post("/log/tap")
def tap() -> Response | tuple[str, int]:
    """Note one tap; what can't be taken brings the page back as it was filled in."""
    try:
        return _tap()
    except (BadInput, Rejected) as error:
        return _again(error), error.status


def _again(error: BadInput | Rejected) -> str:
    names = taps.fields_of(request.form.get("do", "").partition(" ")[2]) | {"at": "clock"}
    problems = by_field(error, names)
    at_watch = request.form.get("next", "").removeprefix(url_for("watch.page", uid=""))
    if register.watch(store().reading(), at_watch) is not None:
        return watch.show(at_watch, request.form, problems)
    return round_.show(request.form, problems)


def _tap() -> Response:
    tapped = taps.tap_of(request.form)
    entries = taps.commands_of(tapped, request.form, now(), zone())
    commands = with_photographs(entries, lambda entry: f"photo-{entry.watch_uid}")
    change(commands, taps.done_said(tapped, nicknames(tapped.watch_uids), request.form, now(), zone()))
    return back_to("round.page")


def nicknames(uids: tuple[str, ...]) -> list[str]:
    """What these watches are called, those that are there."""
    found = (register.watch(store().reading(), uid) for uid in uids)
    return [watch.nickname for watch in found if watch is not None]


@pages.post("/log/undo")
def undo() -> Response:
    """Take back the batch named, else the newest."""
    submit(store(), [build(Undo, {"batch": request.form.get("batch") or None})], who(), then=then())
    tell(say("Undone."))
    return back_to("round.page")


@pages.post("/log/void")
def void() -> Response:
    """Take one entry out of the log."""
    wanted = {"uid": request.form.get("uid") or new_uid(now()), "entry_uid": request.form.get("entry_uid", "")}
    change([build(VoidEntry, wanted)], say("Taken out of the log."))
    return back_to("round.page")
