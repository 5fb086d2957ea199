"""The Settings page."""

from flask import Blueprint
from werkzeug.wrappers import Response

from tracker import feed
from tracker.uids import new_uid
from tracker.web import preferring
from tracker.web.forms import Answer, Form, form_page
from tracker.web.request import back_to, change, now, preferences, store, tell
from tracker.words import say

pages = Blueprint("settings", __name__)


@pages.route("/settings", methods=["GET", "POST"])
def page() -> Answer:
    """The owner's preferences, and a form that changes them."""
    held = preferences()
    return form_page(
        "settings.html",
        _save,
        fresh=preferring.fresh(held.values),
        version=held.version,
        address_set=bool(held.values.remind_address),
        risks=preferring.risks(held.values),
        zones=preferring.zones(),
        folder=store().path.parent,
        feed_key=feed.key_of(store().path.parent),
    )


def _save(form: Form) -> Response:
    change([preferring.command(form, preferences().values)], say("Saved."))
    return back_to("settings.page")


@pages.post("/settings/test")
def test() -> Response:
    """Send a message to the address that is set, and say what came of it."""
    tell(preferring.try_address(preferences().values, new_uid(now())))
    return back_to("settings.page")
