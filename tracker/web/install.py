"""What a browser needs to install the pages, offered under https alone: elsewhere no browser would take it."""

import hashlib

from flask import Blueprint, abort, jsonify, render_template, request, url_for
from werkzeug.wrappers import Response

from tracker.web import statics
from tracker.web.keptwords import keptwords
from tracker.words import say, speech

pages = Blueprint("install", __name__)

KEPT = ("going.css", "icon.svg", "kept.js", "keptsend.js", "keptstore.js", "unreachable.js")
"""The static files that the worker keeps: what the one page needs that stands in while the server is away."""
ICONS = (
    ("icon-192.png", "192x192", "any"),
    ("icon-512.png", "512x512", "any"),
    ("icon-whole.png", "512x512", "maskable"),
)
INK, PAPER = "#1d2329", "#f6f3ea"


@pages.before_request
def only_under_https() -> None:
    """A worker that was begun under https must find nothing here once the pages come otherwise."""
    if not request.is_secure:
        abort(404)


@pages.get("/going.webmanifest")
def manifest() -> Response:
    """Name, icons and first page, as the manifest of a web application says them (W3C)."""
    answer = jsonify(
        id="/",
        name=say("Going Barrel"),
        short_name=say("Going Barrel"),
        description=say("What to wind now, and by when."),
        lang=speech().language,
        start_url=url_for("round.page"),
        scope="/",
        display="standalone",
        background_color=PAPER,
        theme_color=INK,
        icons=[
            {"src": url_for("static", filename=name), "sizes": sizes, "type": "image/png", "purpose": purpose}
            for name, sizes, purpose in ICONS
        ],
    )
    answer.mimetype = "application/manifest+json"
    return answer


@pages.get("/worker.js")
def worker() -> Response:
    """The worker: its text changes with any file it keeps, so that a browser fetches all anew and lets the old ones go."""
    page = hashlib.sha256(unreachable().encode()).hexdigest()[:8]
    script = render_template(
        "worker.js",
        cache=f"going-{statics.digest()}-{page}",
        files=[url_for("static", filename=name) for name in KEPT],
        unreachable=url_for("install.unreachable"),
    )
    answer = Response(script, mimetype="text/javascript")
    answer.headers["Cache-Control"] = "no-cache"
    return answer


@pages.get("/unreachable")
def unreachable() -> str:
    """The page that stands in while the server is away: the same for everyone, it tells nothing of a collection."""
    return render_template("unreachable.html", words=keptwords())
