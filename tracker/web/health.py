"""Whether the program is well, for a watchdog or a curious owner."""

from flask import Blueprint, current_app, jsonify
from flask.typing import ResponseReturnValue

from tracker.store.moments import to_text
from tracker.web.request import BELL_KEY, now

pages = Blueprint("health", __name__)


@pages.get("/healthz")
def page() -> ResponseReturnValue:
    """The moment of this answer, and when the bell for reminders last rang (null: not yet, or not in this process)."""
    rung = current_app.extensions[BELL_KEY]()
    return jsonify(now=to_text(now()), last_bell=None if rung is None else to_text(rung))
