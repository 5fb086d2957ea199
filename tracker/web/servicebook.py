"""The service book: every service that is noted. What was done, with which parts, by whom?"""

from typing import Any

from flask import Blueprint, render_template, request

from tracker.store import attachments, services
from tracker.web import bookview
from tracker.web.request import now, store, zone

pages = Blueprint("servicebook", __name__)


@pages.get("/services/book")
def page() -> str:
    """The services, as the address asks for them."""
    found, wanted = services.services(store().reading()), bookview.wanted(request.args)
    shown = bookview.rows(found, wanted)
    names = {row["watch_uid"]: row["nickname"] for row in found}
    return render_template(
        "servicebook.html",
        head=bookview.first_line(found, now(), zone()),
        found=found,
        rows=shown,
        files_by=files_of({row["watch_uid"] for row in shown}),
        watches=sorted(names.items(), key=lambda pair: pair[1].casefold()),
        wanted=wanted,
        view=bookview,
        now=now(),
        zone=zone(),
    )


def files_of(watch_uids: set[str]) -> dict[str, list[dict[str, Any]]]:
    """The files of these watches' entries, by the uid of the entry each goes with now."""
    db = store().reading()
    return {
        uid: files
        for watch_uid in watch_uids & attachments.watches_with_files(db)
        for uid, files in attachments.by_entry(db, watch_uid).items()
    }
