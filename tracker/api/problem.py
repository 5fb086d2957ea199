"""What goes wrong, as problem details (RFC 9457): the very sentences of forms, with the place of each in the request."""

from collections.abc import Collection
from http import HTTPStatus
from typing import Any
from urllib.parse import quote

from tracker.api.commands import IN_HEADERS
from tracker.errors import BadInput, GoingError, Rejected, Stale

MEDIA_TYPE = "application/problem+json"
PRECONDITION_FAILED = 412


class BadParameter(BadInput):
    """A part of an address after the question mark that can't be taken; `field` is its name."""

    status = 422


def status_of(error: GoingError) -> int:
    """The status of an answer: an edit of a version that is no more fails its condition (RFC 9110, section 13.1.1)."""
    return PRECONDITION_FAILED if isinstance(error, Stale) else error.status


def plain(status: int, sentence: str) -> dict[str, Any]:
    """A problem without a place in the request."""
    return {"type": "about:blank", "title": HTTPStatus(status).phrase, "status": status, "detail": sentence}


def of_error(error: GoingError, fields: Collection[str] = ()) -> dict[str, Any]:
    """A problem with, for each field to blame, its sentence and its place.

    `fields` are those that the body has or may have: what a form calls otherwise has no place in a body.
    """
    found = plain(status_of(error), error.sentence)
    problems = error.problems if isinstance(error, Rejected) else [error]
    told = [{"detail": each.sentence, **place} for each in problems if (place := _place(each, fields))]
    return found | ({"errors": told} if told else {})


def _place(error: GoingError, fields: Collection[str]) -> dict[str, str]:
    if isinstance(error, BadParameter):
        return {"parameter": error.field}
    if error.field in fields:
        return {"pointer": pointer(error.field)}
    return {"header": IN_HEADERS[error.field]} if error.field in IN_HEADERS else {}


def pointer(field: str) -> str:
    """A field of the body as a JSON pointer in a fragment (RFC 6901, section 6)."""
    return "#/" + quote(field.replace("~", "~0").replace("/", "~1"), safe="~!$&'()*+,;=:@", errors="replace")
