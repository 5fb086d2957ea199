"""The page that explains one watch's reserve: how do we know?"""

from flask import Blueprint, jsonify, render_template, request, url_for
from flask.typing import ResponseReturnValue

from tracker.explained import explained_soon
from tracker.figures import one
from tracker.store import log
from tracker.web import explainwords, lookwords
from tracker.web.request import now, store, zone
from tracker.words import say

pages = Blueprint("explain", __name__)

PATIENCE_S = 0.1
"""How long a page waits for the runs to be weighed."""


@pages.get("/watch/<uid>/how")
def page(uid: str) -> str:
    """Where its figures come from, run by run."""
    figures = one(store(), uid, now())
    found = explained_soon(figures, zone(), PATIENCE_S)
    notes = {row["uid"]: row for row in log.entry_rows(store().reading(), uid)}
    wanted = {"by_date": request.args.get("sort") == "date", "everything": request.args.get("runs") == "all"}
    return render_template(
        "explain.html",
        watch=figures.watch,
        behind=figures.behind,
        ranges=max(1, len(figures.estimate.one_of_h)),
        answer=explainwords.answer(figures, now(), zone()),
        account=found and explainwords.account(figures, found, notes, now(), zone(), **wanted),
        asks="" if found else url_for("explain.weighed", uid=uid),
        asked=lookwords.run_down_asked(figures, now()),
        **wanted,
    )


@pages.get("/watch/<uid>/how/weighed")
def weighed(uid: str) -> ResponseReturnValue:
    """Whether the runs are still being weighed."""
    waiting = explained_soon(one(store(), uid, now()), zone(), 0.0) is None
    return jsonify(waiting=int(waiting), said=say("Its runs are being weighed one by one."))
