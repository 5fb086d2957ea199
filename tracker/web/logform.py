"""The long form of the log: any entry of a watch, at any time past, and the correction of one."""

from flask import Blueprint, request
from werkzeug.wrappers import Response

from tracker import faultwords, readingphrases
from tracker.core.when import Said
from tracker.errors import NotFound
from tracker.store import log, services
from tracker.store.moments import from_text
from tracker.web import access, entries, logwords, partfields
from tracker.web.attaching import with_file, with_photographs
from tracker.web.forms import Answer, Form, form_page
from tracker.web.moment import moment_of
from tracker.web.request import back_to, change, for_owner, now, store, zone
from tracker.web.watch import found
from tracker.words import say

pages = Blueprint("logform", __name__)


@pages.route("/watch/<uid>/log", methods=["GET", "POST"])
def page(uid: str) -> Answer:
    """Note an entry of the kind in the address, or correct the one named there."""
    watch, replaced = found(uid), _replaced(uid)
    kind = entries.kind_of(request.args.get("kind", ""), replaced)
    access.helpers_entry(kind, correcting=replaced is not None)
    return form_page(
        "logform.html",
        lambda form: _save(form, kind, uid, replaced),
        fresh=entries.fresh(kind, request.args, replaced),
        shown_as={"at": "local" if request.form.get("when") == "full" else "when"},
        watch=watch,
        kind=kind,
        kinds=[each for each in entries.kinds(watch) if for_owner() or each[0] in access.HELPERS_KINDS],
        title=entries.title(kind, watch.nickname, correcting=replaced is not None),
        replaced=replaced,
        noted_when=logwords.when(replaced, now(), zone()) if replaced else "",
        partfields=partfields,
        readingphrases=readingphrases,
        faultwords=faultwords,
    )


def _replaced(watch_uid: str) -> entries.Row | None:
    """The entry to be corrected, if the address names one."""
    wanted = request.args.get("entry")
    if wanted is None:
        return None
    row = log.find_entry(store().reading(), wanted)
    if row is None or row["watch_uid"] != watch_uid or row["voided_by"] is not None:
        raise NotFound(say("There is no such entry, or no longer."))
    return row | {"parts": services.parts(store().reading(), row["uid"]).get(row["uid"], [])}


def _save(form: Form, kind: str, watch_uid: str, replaced: entries.Row | None) -> Response:
    noted = Said(from_text(replaced["at_utc"]), replaced["zone"], replaced["within_min"]) if replaced else None
    said = moment_of(form, now(), zone(), noted=noted)
    command = entries.command(kind, form, watch_uid, said, replaces=replaced)
    files = with_file(command.uid, command.uid) if kind == "service" else []
    entries_and_files = [*with_photographs([command], lambda _: "photo"), *files]
    change(entries_and_files, say("Corrected.") if replaced else say("Noted."))
    return back_to("watch.page", uid=watch_uid)
