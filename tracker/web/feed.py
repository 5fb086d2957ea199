"""The calendar feed at its secret address, and the buttons that make, renew and close it."""

from datetime import datetime, timedelta
from typing import cast

from flask import Blueprint, Response, abort, current_app, request
from werkzeug.http import http_date
from werkzeug.wrappers import Response as Answer

from tracker import feed
from tracker.figures import survey
from tracker.reminders.calendar import document
from tracker.web.request import away, back_to, now, preferences, store, tell
from tracker.words import say

pages = Blueprint("feed", __name__)

SEEN_KEY = "going-feed"
"""Where the site keeps what the feed last held and since when: (digest, moment)."""


@pages.get("/calendar/<key>.ics")
def page(key: str) -> Response:
    """The feed, or nothing at all: a wrong secret must not tell that there is one."""
    if not feed.opens(store().path.parent, key):
        abort(404)
    events = feed.events(survey(store(), now(), with_runs=False).known, preferences().values, now(), away())
    tag = feed.digest(events)
    changed_at = _since(tag)
    answer = Response(document(events, changed_at, feed.sequence_at(changed_at)), mimetype="text/calendar")
    answer.headers["Cache-Control"] = "no-store"
    answer.headers["Last-Modified"] = http_date(changed_at)
    answer.set_etag(tag)
    return cast("Response", answer.make_conditional(request))


def _since(tag: str) -> datetime:
    """Since when the feed reads as it does, as far as this process has seen: whole seconds, each later than the last."""
    seen: tuple[str, datetime] | None = current_app.extensions.get(SEEN_KEY)
    if seen is None or seen[0] != tag:
        moment = now().replace(microsecond=0)
        seen = tag, max(moment, seen[1] + timedelta(seconds=1)) if seen else moment
        current_app.extensions[SEEN_KEY] = seen
    return seen[1]


@pages.post("/calendar/renew")
def renew() -> Answer:
    """Make the feed, or give it a new address."""
    feed.renew_key(store().path.parent)
    tell(say("The feed has a new address; a former one is void."))
    return back_to("settings.page")


@pages.post("/calendar/close")
def close() -> Answer:
    """Close the feed."""
    feed.forget_key(store().path.parent)
    tell(say("The feed is closed."))
    return back_to("settings.page")
