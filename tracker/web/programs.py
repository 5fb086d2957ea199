"""The page for those who write programs: how do my own scripts talk to this collection?"""

from flask import Blueprint, render_template, request

from tracker.api.document import ABOUT, document
from tracker.api.script import SCRIPT
from tracker.web import programsview
from tracker.words import say

pages = Blueprint("programs", __name__)


@pages.get("/programs")
def page() -> str:
    """Every address, made from the document itself."""
    return render_template(
        "programs.html",
        about=[say(" ".join(each.split())) for each in ABOUT.split("\n\n")[1:]],
        address=request.host_url.rstrip("/"),
        script=SCRIPT,
        sections=programsview.sections(document()),
        responses=document()["components"]["responses"],
    )
