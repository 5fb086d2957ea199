"""How far the estimates are, for the pages that wait for them."""

from flask import Blueprint, jsonify, request
from flask.typing import ResponseReturnValue

from tracker import derive
from tracker.web import pending
from tracker.web.request import now, store

pages = Blueprint("progress", __name__)


@pages.get("/worked-out")
def page() -> ResponseReturnValue:
    """How many watches (or whether the one named) are still waited for, and that in words."""
    line = derive.line(store().reading(), now())
    uid = request.args.get("watch")
    waiting = [each for each in line.missed if uid in {None, each}]
    return jsonify(waiting=len(waiting), said=pending.progress(line))
