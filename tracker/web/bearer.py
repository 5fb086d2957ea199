"""Who a program speaks for, and how far: a bearer token (RFC 6750), never a cookie."""

from flask import g, request

from tracker import tokens
from tracker.errors import Forbidden, GoingError
from tracker.store import people
from tracker.store.tokens import Scope
from tracker.web.request import Visitor, now, reach, store
from tracker.words import say

MOST_OF_A_BODY = 500_000
"""Bytes of a command: the longest note there may be, many times over."""
READING = frozenset({"GET", "HEAD", "OPTIONS"})


class Unauthorized(GoingError):
    """No token where one is needed, or one that opens nothing."""

    status = 401


def let_in() -> None:
    """Find out who is there by the token of this request; where nobody has to log in, reading needs none.

    Raises:
        Unauthorized: nobody.
        Forbidden: the token only looks.
    """
    header = request.headers.get("Authorization")
    if header is None and request.method in READING and not reach().logs_in:
        owner = people.first_owner(store().reading())
        g.visitor, g.scope = (None if owner is None else Visitor(owner)), "read"
        return
    found = tokens.person_of_token(store(), _secret(header), now())
    if found is None:
        raise Unauthorized(say("This token opens nothing: it was ended, has expired or was never made."))
    if found.scope == "read" and request.method not in READING:
        raise Forbidden(say("This token may look and no more; nothing was changed."))
    g.visitor, g.scope = Visitor(found.person), found.scope
    request.max_content_length = MOST_OF_A_BODY


def scope() -> Scope:
    """How far the token of this request goes."""
    found: Scope = g.scope
    return found


def _secret(header: str | None) -> str:
    if header is None:
        raise Unauthorized(say("A token is needed here: send it as Authorization: Bearer …."))
    kind, _, secret = header.partition(" ")
    return secret.strip() if kind.lower() == "bearer" else ""
