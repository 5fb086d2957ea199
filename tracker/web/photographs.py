"""Photographs of dials: shown, read, or given up."""

from flask import Blueprint, request
from werkzeug.wrappers import Response

from tracker.commands.build import build
from tracker.commands.photograph import GiveUpReading
from tracker.core.when import Said
from tracker.errors import BadInput, NotFound, Rejected
from tracker.store import attachments
from tracker.store.moments import from_text
from tracker.web import entries, files, toread, watch
from tracker.web.forms import by_field, opened_with
from tracker.web.request import back_to, change, store
from tracker.words import say

pages = Blueprint("photographs", __name__)


def _found(uid: str) -> attachments.Row:
    row = attachments.attachment(store().reading(), uid)
    if row is None:
        raise NotFound(say("There is no such photograph, or no longer."))
    return row


@pages.get("/photograph/<uid>")
def show(uid: str) -> Response:
    """The picture itself, as the kind that its first bytes say it is."""
    return files.sent(_found(uid))


@pages.post("/photograph/<uid>/read")
def read(uid: str) -> Response | tuple[str, int]:
    """Take the hands read from it: a correction of the entry it belongs to."""
    row = _found(uid)
    try:
        _correct(row)
    except (BadInput, Rejected) as error:
        names = {"shown": toread.field("shown", uid), "shown_date": toread.field("shown_date", uid)}
        return watch.show(row["watch_uid"], request.form, by_field(error, names)), error.status
    return back_to("watch.page", uid=row["watch_uid"])


def _correct(row: attachments.Row) -> None:
    noted = toread.entry_of(store().reading(), row)
    if noted is None:
        raise NotFound(say("There is no such entry, or no longer."))
    shown = request.form.get(toread.field("shown", row["uid"]), "")
    if not shown.strip():
        raise BadInput(
            say("This is needed."),
            field="shown",
            accepted=say("Give the time on the hands as it stands there, such as 4:37 or 437."),
        )
    kind = entries.kind_of("", noted)
    form = opened_with(entries.fresh(kind, {}, noted))
    form["uid"], form["shown"] = request.form.get("uid", ""), shown
    form["shown_date"] = request.form.get(toread.field("shown_date", row["uid"]), form.get("shown_date", ""))
    said = Said(from_text(noted["at_utc"]), noted["zone"], noted["within_min"])
    command = entries.command(kind, form, row["watch_uid"], said, replaces=noted)
    change([command], say("Noted: its hands showed {shown}.", shown=command.model_dump()["shown"]))


@pages.post("/photograph/<uid>/unreadable")
def unreadable(uid: str) -> Response:
    """It can't be read: do not ask again."""
    row = _found(uid)
    wanted = {"uid": request.form.get("uid", ""), "attachment_uid": uid}
    change([build(GiveUpReading, wanted)], say("The photograph is kept; its hands are not asked for again."))
    return back_to("watch.page", uid=row["watch_uid"])
