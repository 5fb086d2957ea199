"""Files kept with a service or a watch: attached, handed out, taken out again."""

from flask import Blueprint, request
from werkzeug.utils import secure_filename
from werkzeug.wrappers import Response

from tracker.commands.attachment import AttachFile, TakeOutFile
from tracker.commands.build import build
from tracker.errors import BadInput, NotFound, Rejected
from tracker.photofile import PDF, place
from tracker.store import attachments
from tracker.uids import new_uid
from tracker.web import safety, watch
from tracker.web.attaching import with_file
from tracker.web.forms import by_field
from tracker.web.request import back_to, change, now, store
from tracker.words import say

pages = Blueprint("files", __name__)

FOR_A_WHILE = "private, max-age=86400"
ENDINGS = {"image/jpeg": "jpg", "image/png": "png", "image/webp": "webp", "application/pdf": "pdf"}


@pages.get("/file/<uid>")
def show(uid: str) -> Response:
    """The file itself, as the kind that its first bytes say it is; a PDF to be saved, not to be run here."""
    return sent(_found(uid))


def _found(uid: str) -> attachments.Row:
    row = attachments.attachment(store().reading(), uid)
    if row is None:
        raise NotFound(say("There is no such file, or no longer."))
    return row


def sent(row: attachments.Row) -> Response:
    """The answer that holds a file.

    Raises:
        NotFound: it is missing from the disk.
    """
    try:
        data = place(store().path.parent, row["sha256"]).read_bytes()
    except OSError as error:
        raise NotFound(say("This file is missing from the collection's folder.")) from error
    safety.is_kept_file()
    answer = Response(data, mimetype=row["media_type"])
    answer.headers["Cache-Control"] = FOR_A_WHILE
    name = f"{secure_filename(row['title']) or 'file'}.{ENDINGS[row['media_type']]}"
    answer.headers.set("Content-Disposition", "attachment" if row["media_type"] == PDF else "inline", filename=name)
    return answer


@pages.post("/watch/<uid>/file")
def attach(uid: str) -> Response | tuple[str, int]:
    """Keep a file with the watch itself."""
    watch.found(uid)
    try:
        change(_chosen(uid), say("Attached."))
    except (BadInput, Rejected) as error:
        return watch.show(uid, request.form, by_field(error, {})), error.status
    return back_to("watch.page", uid=uid)


def _chosen(watch_uid: str) -> list[AttachFile]:
    commands = with_file(watch_uid, request.form.get("uid") or new_uid(now()))
    if not commands:
        raise BadInput(say("No file is chosen."), field="file", accepted=say("JPEG, PNG, WebP and PDF are taken."))
    return commands


@pages.post("/file/<uid>/take-out")
def take_out(uid: str) -> Response:
    """It goes with nothing any more."""
    row = _found(uid)
    change([build(TakeOutFile, {"uid": request.form.get("uid", ""), "attachment_uid": uid})], say("Taken out."))
    return back_to("watch.page", uid=row["watch_uid"])
