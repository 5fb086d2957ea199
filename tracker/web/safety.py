"""What keeps other people's pages out: Host, Origin, CSRF, and the headers of every answer."""

from urllib.parse import urlsplit

from flask import Flask, g, request
from flask_wtf.csrf import CSRFProtect
from werkzeug.wrappers import Response

from tracker.errors import GoingError
from tracker.web import access
from tracker.web.proxied import CAME_BY_A_PROXY
from tracker.web.request import preferences, reach
from tracker.words import say

LINKS = "links"
"""The pages that answer links in messages."""
LOOPBACK = ("127.0.0.1", "localhost", "[::1]")
CONTENT_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; connect-src 'self'; "
    "worker-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)

EMPTY_STYLE = "'sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU='"
"""The hash of nothing: plotly lays an empty style element and fills it by script; without it a picture falls apart."""
PERMISSIONS = "camera=(), microphone=(), geolocation=(), payment=(), usb=(), serial=()"
"""What no page of ours asks a browser for; a photograph comes by a file field, which needs no permission."""
SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS"})
POLICY_WITH_PICTURES = CONTENT_POLICY.replace("style-src 'self'", f"style-src 'self' {EMPTY_STYLE}")


KEPT_FILE_POLICY = "default-src 'none'; sandbox"
"""What was sent in by whomever is shown, and does nothing."""


class Misdirected(GoingError):
    """A request under a name that is not this machine's own."""

    status = 421


class Foreign(GoingError):
    """A form sent from another site's page."""

    status = 403


def guard(app: Flask) -> None:
    """Put the checks before every request and the headers on every answer."""
    app.before_request(check_host)
    app.before_request(check_origin)
    access.guard(app)  # before CSRF, which reads the whole form
    CSRFProtect(app)
    app.after_request(add_headers)


def check_host() -> None:
    """Refuse a name that is not this machine's own: else any web page could read a loopback server by DNS rebinding.

    Under the name that the owner gave for links in messages, links are answered and nothing else. Where nobody has to
    log in, what came by a proxy is refused, too: it may come from anywhere.
    """
    if not reach().logs_in and request.environ.get(CAME_BY_A_PROXY):
        raise Misdirected(
            say("This came by a proxy, and going.toml names none as trusted_proxy; nothing is told or changed.")
        )
    for_links = request.blueprint == LINKS or request.endpoint == "static"
    if not _is_own(_without_port(request.host.lower())) and not (for_links and _is_base(request.host)):
        raise Misdirected(say("This program answers only to the name of its own machine."))


def _is_own(name: str) -> bool:
    return name in LOOPBACK or name.strip("[]") in reach().names


def _is_base(host: str) -> bool:
    base = urlsplit(preferences().values.base_address).netloc
    return bool(base) and _without_port(host.lower()) == _without_port(base)


def check_origin() -> None:
    """Refuse a form sent from another site's page."""
    if request.method in SAFE_METHODS:
        return
    origin = request.headers.get("Origin")
    foreign = origin is not None and urlsplit(origin).netloc != request.host
    if foreign or request.headers.get("Sec-Fetch-Site") == "cross-site":
        raise Foreign(say("This was sent from another site's page; nothing was changed."))


def allow_pictures() -> None:
    """This page draws pictures with plotly, or will, once what it waits for is worked out and put in its place."""
    g.pictures = True


def is_kept_file() -> None:
    """This answer is a file as it was sent in: nothing in it may run."""
    g.kept_file = True


def add_headers(answer: Response) -> Response:
    """What the browser may do with our pages."""
    if g.get("kept_file"):
        answer.headers["Content-Security-Policy"] = KEPT_FILE_POLICY
    else:
        answer.headers["Content-Security-Policy"] = POLICY_WITH_PICTURES if g.get("pictures") else CONTENT_POLICY
    answer.headers["X-Content-Type-Options"] = "nosniff"
    answer.headers["Referrer-Policy"] = "same-origin"
    answer.headers["Cross-Origin-Opener-Policy"] = "same-origin"
    answer.headers["Cross-Origin-Resource-Policy"] = "same-origin"
    answer.headers["Permissions-Policy"] = PERMISSIONS
    answer.headers["X-Frame-Options"] = "DENY"  # for browsers that know no frame-ancestors
    if answer.mimetype == "text/html":
        answer.headers["Cache-Control"] = "no-store"
    return answer


def _without_port(host: str) -> str:
    return host.rpartition(":")[0] if host.rpartition("]")[2].count(":") else host
