"""The page of a watch's timing readings: what they come to, and a form for six positions at once."""

from flask import Blueprint, request
from werkzeug.wrappers import Response

from tracker import readingphrases
from tracker.core.timing import POSITIONS
from tracker.store.readings import readings
from tracker.web import readingform, readingsview
from tracker.web.forms import Answer, Form, form_page
from tracker.web.moment import moment_of
from tracker.web.request import back_to, change, now, store, zone
from tracker.web.watch import found
from tracker.words import say

pages = Blueprint("readings", __name__)

FRESH = {"when": "now", "occasion": "in between", "since_wind_min": "30"}


@pages.route("/watch/<uid>/readings", methods=["GET", "POST"])
def page(uid: str) -> Answer:
    """Tell what its readings come to; note new ones."""
    watch = found(uid)
    seen = readingsview.view(readings(store().reading(), [uid]).get(uid, []))
    asked = {name: request.args[name] for name in ("occasion", "since_wind_min") if name in request.args}
    return form_page(
        "readings.html",
        lambda form: _save(form, uid),
        fresh={**FRESH, **asked},
        shown_as={"at": "local" if request.form.get("when") == "full" else "when"},
        watch=watch,
        seen=seen,
        positions=POSITIONS,
        read=readingform.READ,
        name_of=readingform.name_of,
        words=readingphrases,
        head=readingphrases.first_line(watch.nickname, seen.newest),
        now=now(),
        zone=zone(),
    )


def _save(form: Form, uid: str) -> Response:
    commands = readingform.commands(form, uid, moment_of(form, now(), zone()))
    count = len(commands)
    change(commands, say("1 reading noted.") if count == 1 else say("{n} readings noted.", n=count))
    return back_to("readings.page", uid=uid)
