"""Whether the program is well, for a watchdog or a curious owner."""

from datetime import UTC, datetime

from flask import Blueprint, current_app, jsonify
from flask.typing import ResponseReturnValue

from tracker import sensing
from tracker.store.moments import to_text
from tracker.web.request import BELL_KEY, now, store

pages = Blueprint("health", __name__)


@pages.get("/healthz")
def page() -> ResponseReturnValue:
    """The moment of this answer, when the bell for reminders last rang, and when the last message of a sensor came.

    Null: not yet, or not in this process.
    """
    rung, came = current_app.extensions[BELL_KEY](), _came()
    return jsonify(now=to_text(now()), last_bell=rung and to_text(rung), last_message=came and to_text(came))


def _came() -> datetime | None:
    found = sensing.condition(store().reading())
    return None if found is None or found.arrived_s is None else datetime.fromtimestamp(found.arrived_s, UTC)
