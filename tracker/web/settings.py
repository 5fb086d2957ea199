"""The Settings page."""

from flask import Blueprint
from werkzeug.wrappers import Response

from tracker import backupwords, feed, languages
from tracker.backup import daily
from tracker.store.channels import channels, rest_of
from tracker.web import preferring
from tracker.web.forms import Answer, Form, form_page
from tracker.web.request import back_to, change, now, preferences, store
from tracker.words import say

pages = Blueprint("settings", __name__)


@pages.route("/settings", methods=["GET", "POST"])
def page() -> Answer:
    """The owner's preferences, and a form that changes them."""
    held, found = preferences(), channels(store().reading())
    return form_page(
        "settings.html",
        _save,
        fresh=preferring.fresh(held.values),
        version=held.version,
        channels=found,
        failing={each.name for each in found if rest_of(store().reading(), each.uid)},
        risks=preferring.risks(held.values),
        zones=preferring.zones(),
        languages=[*languages.languages().items()],
        ways=preferring.ways_of_writing(),
        folder=store().path.parent,
        backup=backupwords.told(daily.standing(store().path.parent, held.values.backup_folder, now()), now(), held),
        feed_key=feed.key_of(store().path.parent),
    )


def _save(form: Form) -> Response:
    change([preferring.command(form)], say("Saved."))
    return back_to("settings.page")
