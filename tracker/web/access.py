"""Who may see which page, and who is there: asked before every request. A page that is not named here is the owner's."""

from flask import Flask, redirect, request, url_for
from werkzeug.wrappers import Response

from tracker.errors import Forbidden
from tracker.web import apianswer, bearer
from tracker.web.request import for_owner, visitor
from tracker.words import say

MOST_OF_A_STRANGERS_FORM = 20_000
"""So many bytes are read of someone who has not logged in."""

ANYONE = frozenset(
    {
        "static",
        "pictures.script",
        "links.page",
        "links.answer",
        "feed.page",
        "health.page",
        "login.page",
        "login.enter",
        "install.manifest",
        "install.worker",
        "install.unreachable",
    }
)
"""What is answered without a log-in: it tells nothing of the collection, or asks for a secret of its own."""
HELPERS = frozenset(
    {
        "round.page",
        "collection.page",
        "watch.page",
        "logform.page",
        "entry.tap",
        "entry.undo",
        "kept.whose",
        "kept.send",
        "away.sheet",
        "progress.page",
        "login.leave",
        "labels.open_watch",
        "portraits.show",
        "portraits.small",
        "roundsheet.page",
        "typedin.page",
    }
)
"""What a helper needs to wind, to look and to note it."""
PROGRAMS = "api"
"""The pages of programs: they come in by tokens, and nobody is sent to log in."""
HELPERS_PROGRAMS = frozenset(
    {"api.openapi", "api.watches", "api.watch", "api.standing", "api.round", "api.command", "api.keep_file"}
)
"""What the program of a helper may ask for; which commands it may give is told in `commands/permitted`."""
HELPERS_KINDS = ("wind", "sighting")


def guard(app: Flask) -> None:
    """Ask before every request."""
    app.before_request(refuse_strangers)


def refuse_strangers() -> Response | None:
    """Send whoever has to log in there first, and let nobody see more than they may.

    Raises:
        Forbidden: this page is the owner's.
        Unauthorized: a program without a token, or with one that opens nothing.
    """
    if request.blueprint == PROGRAMS:
        refuse_strangers_programs()
        return None
    if request.endpoint is None or request.endpoint in ANYONE:
        request.max_content_length = MOST_OF_A_STRANGERS_FORM
        return None
    found = visitor()
    if found is None:
        return to_log_in()
    if found.person.role != "owner" and request.endpoint not in HELPERS:
        raise Forbidden(say("Only an owner sees this page."))
    return None


def refuse_strangers_programs() -> None:
    """Let in whoever has a token, as far as its person goes.

    Raises:
        Unauthorized, Forbidden, NotAcceptable: no.
    """
    request.max_content_length = MOST_OF_A_STRANGERS_FORM
    bearer.let_in()
    apianswer.accepts_json()
    if not for_owner() and request.endpoint not in HELPERS_PROGRAMS:
        raise Forbidden(say("Only an owner's program may ask for this."))


def helpers_entry(kind: str, *, correcting: bool) -> None:
    """Check that whoever is there may note an entry of this kind by hand: a helper winds and sees, and corrects nothing.

    Raises:
        Forbidden: no.
    """
    if not for_owner() and (correcting or kind not in HELPERS_KINDS):
        raise Forbidden(say("Only an owner may do this; nothing was changed."))


def to_log_in() -> Response:
    """The way to the log-in page, and from there back here; what a form sent is not kept."""
    here = request.full_path.rstrip("?") if request.method == "GET" else ""
    return redirect(url_for("login.page", next=here or None), 303)
