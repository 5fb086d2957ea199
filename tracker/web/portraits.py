"""Photographs of a watch itself: sent in, shown, one chosen to be first, taken out."""

from flask import Blueprint, request
from werkzeug.wrappers import Response

from tracker.commands.base import Command
from tracker.commands.build import build
from tracker.commands.portrait import AddPortrait, ShowPortraitFirst, TakeOutPortrait, adding
from tracker.errors import BadInput, Forbidden, NotFound, Rejected
from tracker.photofile import MOST_BYTES, keep, portrait
from tracker.store import portraits
from tracker.uids import new_uid
from tracker.web import files, watch
from tracker.web.forms import by_field
from tracker.web.request import back_to, change, for_owner, now, store
from tracker.words import say

pages = Blueprint("portraits", __name__)

FIELD = "portrait"
MOST_AT_ONCE = 4
"""So many of a form's files are read; the form as a whole has its own bound."""


def _found(uid: str) -> portraits.Row:
    """The photograph of this address; for a helper only the one that stands beside the watch's name.

    Raises:
        NotFound: there is none.
        Forbidden: it is not shown to helpers.
    """
    row = portraits.portrait(store().reading(), uid)
    if row is None:
        raise NotFound(say("There is no such photograph, or no longer."))
    if not for_owner() and portraits.of_watch(store().reading(), row["watch_uid"])[0]["uid"] != uid:
        raise Forbidden(say("Only an owner sees this page."))
    return row


@pages.get("/portrait/<uid>")
def show(uid: str) -> Response:
    """The photograph."""
    return _sent(uid, "sha256")


@pages.get("/portrait/<uid>/small")
def small(uid: str) -> Response:
    """The same, small."""
    return _sent(uid, "small_sha256")


def _sent(uid: str, column: str) -> Response:
    return files.sent({"sha256": _found(uid)[column], "media_type": "image/jpeg", "title": say("photograph")})


@pages.post("/watch/<uid>/portrait")
def add(uid: str) -> Response | tuple[str, int]:
    """Keep one photograph or several of this watch."""
    watch.found(uid)
    try:
        change(_sent_in(uid), say("Added."))
    except (BadInput, Rejected) as error:
        return watch.show(uid, request.form, by_field(error, {"photo": FIELD})), error.status
    return back_to("watch.page", uid=uid)


def _sent_in(watch_uid: str) -> list[AddPortrait]:
    """The commands that add what was sent; every file is kept by then, or none if one can't be taken."""
    sent = [file for file in request.files.getlist(FIELD) if file.filename]
    if not 0 < len(sent) <= MOST_AT_ONCE:
        what = say("No photograph is chosen.") if not sent else say("These are too many at once.")
        raise BadInput(what, field=FIELD, accepted=say("Choose one to {most}.", most=MOST_AT_ONCE))
    taken = [portrait(file.stream.read(MOST_BYTES + 1)) for file in sent]
    for each in taken:
        keep(store().path.parent, each.large)
        keep(store().path.parent, each.small)
    key = request.form.get("uid") or new_uid(now())
    return [build(adding, {"watch_uid": watch_uid, "taken": each, "key": f"{key} {n}"}) for n, each in enumerate(taken)]


@pages.post("/portrait/<uid>/first")
def first(uid: str) -> Response:
    """Show it beside the watch's name."""
    return _changed(ShowPortraitFirst, uid, say("It stands beside the name now."))


@pages.post("/portrait/<uid>/take-out")
def take_out(uid: str) -> Response:
    """Show it no more."""
    return _changed(TakeOutPortrait, uid, say("Taken out."))


def _changed(command: type[Command], uid: str, said: str) -> Response:
    row = _found(uid)
    change([build(command, {"uid": request.form.get("uid", ""), "portrait_uid": uid})], said)
    return back_to("watch.page", uid=row["watch_uid"])
