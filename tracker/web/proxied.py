"""What a proxy says of a request: believed of the one that is trusted, of nobody else."""

from collections.abc import Iterable
from typing import TYPE_CHECKING

from werkzeug.middleware.proxy_fix import ProxyFix

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIApplication, WSGIEnvironment

SAID = (
    "HTTP_FORWARDED",
    "HTTP_X_FORWARDED_FOR",
    "HTTP_X_FORWARDED_PROTO",
    "HTTP_X_FORWARDED_HOST",
    "HTTP_X_FORWARDED_PORT",
    "HTTP_X_FORWARDED_PREFIX",
    "HTTP_X_REAL_IP",
)
"""What proxies say of whom they speak for."""
CAME_BY_A_PROXY = "going.came_by_a_proxy"
"""Where the request keeps that someone said so who is not trusted."""


def proxied(app: "WSGIApplication", trusted: str) -> "WSGIApplication":
    """The application, told the true sender, scheme and host where the trusted proxy brings a request."""
    fixed = ProxyFix(app, x_for=1, x_proto=1, x_host=1)

    def answer(environ: "WSGIEnvironment", start: "StartResponse") -> Iterable[bytes]:
        if trusted and environ.get("REMOTE_ADDR") == trusted:
            environ.pop("HTTP_FORWARDED", None)
            return fixed(environ, start)
        said = [environ.pop(name) for name in SAID if name in environ]
        environ[CAME_BY_A_PROXY] = bool(said)
        return app(environ, start)

    return answer
