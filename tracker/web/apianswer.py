"""Answers to programs: JSON, or problem details; what a request may not ask for is told here, too."""

import json
from collections.abc import Collection
from typing import Any

from flask import Response, request
from werkzeug.exceptions import HTTPException

from tracker.api import problem
from tracker.errors import BadInput, GoingError
from tracker.words import say

ADDRESS = "/api"

SENTENCES = {
    404: "There is nothing at this address.",
    405: "This address can't be used that way.",
    413: "That is too much to take in one go.",
    500: "Something went wrong in the program; nothing was half saved. What happened is in its log.",
}
OTHERWISE = "The request could not be read."
NO_TOKEN = 401


class NotJson(GoingError):
    """A body that can't be read."""

    status = 400


class NotAcceptable(GoingError):
    """A request for an answer in another form than JSON."""

    status = 406


class Unsupported(GoingError):
    """A body of another media type."""

    status = 415


def for_programs() -> bool:
    """Whether this request is one of a program."""
    return request.path == ADDRESS or request.path.startswith(f"{ADDRESS}/")


def answer(value: object, *, version: int | None = None) -> Response:
    """A value as JSON, with the ETag of its version; nobody in between keeps it."""
    found = _as_json(value, 200, "application/json")
    if version is not None:
        found.set_etag(str(version))
    return found


def of_error(error: GoingError, fields: Collection[str] = ()) -> Response:
    """An error of ours as problem details."""
    told = problem.of_error(error, fields)
    found = _as_json(told, told["status"], problem.MEDIA_TYPE)
    if error.status == NO_TOKEN:
        found.headers["WWW-Authenticate"] = "Bearer"
    return found


def of_status(error: HTTPException) -> Response:
    """What the server itself refuses, its headers kept."""
    status = error.code or 500
    found = _as_json(problem.plain(status, say(SENTENCES.get(status, OTHERWISE))), status, problem.MEDIA_TYPE)
    for name, value in error.get_headers():
        if name not in {"Content-Type", "Content-Length"}:
            found.headers[name] = value
    return found


def accepts_json() -> None:
    """Check that the request takes what is answered.

    Raises:
        NotAcceptable: no.
    """
    if request.accept_mimetypes and not request.accept_mimetypes["application/json"]:
        raise NotAcceptable(say("All that is answered here is JSON."))


def of_type(*taken: str) -> None:
    """Check that the body is of one of these media types.

    Raises:
        Unsupported: no.
    """
    if request.mimetype not in taken:
        raise Unsupported(say("Send the body as {types}.", types=say(" or ").join(taken)))


def body() -> dict[str, Any]:
    """The fields that came as a JSON object (RFC 8259).

    Raises:
        Unsupported, NotJson, BadInput: they did not.
    """
    of_type("application/json")
    try:
        found = json.loads(request.get_data(cache=False).decode(), parse_constant=_no_number)
    except (ValueError, RecursionError) as error:
        raise NotJson(say("The body is no JSON; nothing was changed.")) from error
    if not isinstance(found, dict):
        raise BadInput(say("The body is no JSON object; nothing was changed."))
    return found


def _no_number(name: str) -> float:
    raise ValueError(name)


def _as_json(value: object, status: int, media_type: str) -> Response:
    found = Response(json.dumps(value, allow_nan=False), status, content_type=media_type)
    found.headers["Cache-Control"] = "no-store"
    found.headers["Vary"] = "Authorization"
    return found
