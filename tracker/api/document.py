"""The document that describes all of it (OpenAPI 3.1), made of the commands, the reads and the examples."""

import inspect
import json
from functools import cache
from http import HTTPStatus
from pathlib import Path
from typing import Any

from tracker.api import paging
from tracker.api.commands import KEY_HEADER, OFFERED, VERSION_HEADER, Asked
from tracker.api.problem import MEDIA_TYPE
from tracker.api.reads import LAID, READS, Laid, Read
from tracker.api.schemas import REF, Schema, shapes
from tracker.uids import PATTERN

EXAMPLES = Path(__file__).parent / "examples.json"
"""By the name of an operation what was sent and what was answered; `tests/api/write_examples.py` writes it."""

UID: Schema = {"type": "string", "pattern": f"^{PATTERN.pattern}$"}
REFUSALS = {
    400: "The body is no JSON.",
    401: "No token, or one that opens nothing.",
    403: "This person or token may not do this.",
    404: "There is no such thing, or no longer.",
    406: "The request accepts no JSON.",
    409: "Something stands in the way; or the key was used for something else.",
    412: "What is changed was changed since it was read.",
    413: "More than is taken in one go.",
    415: "The body is of another media type.",
    421: "Under this name the program does not answer.",
    422: "Fields, parameters or headers that can't be taken, each with its place.",
    428: "It is not said which version is changed.",
    503: "Something outside the program is in the way: a lock, a disk.",
}
"""Every status of a refusal."""
OF_ALL = (401, 403, 406, 421, 503)
ABOUT = """Send a change as JSON, read answers as JSON.

Every change is a command; fields, sentences and undo are those of the pages. Writing takes a token everywhere; reading takes
one where the pages ask to log in. Tokens are made on the page of people or by `going token add`: with `read` a program looks,
with `log` it notes winds and sightings, too, with `all` it does all but change who may come in. Cookies are never taken.

Give each change a key of your own (`Idempotency-Key`, a UUID): sent again under it, it is answered again and done once.
A row of the register, a sensor, a barrel, a channel and the settings are read with an ETag; a command that changes one sends
it back as `If-Match`. Lists come in pages; the `Link` header leads to the next (RFC 8288). What is refused is told as problem
details (RFC 9457). Moments are ISO 8601 with a zone, and come in UTC; units stand in names."""


@cache
def document() -> dict[str, Any]:
    """The document; the same at every call."""
    paths: dict[str, dict[str, Any]] = {read.path: {"get": _read(read)} for read in READS}
    paths |= {f"/commands/{path}": {"post": _command(asked)} for path, asked in OFFERED.items()}
    paths |= {laid.path: {"post": _laid(laid)} for laid in LAID}
    return {
        "openapi": "3.1.0",
        "jsonSchemaDialect": "https://json-schema.org/draft/2020-12/schema",
        "info": {"title": "Going Barrel", "version": "1", "description": ABOUT},
        "servers": [{"url": "/api"}],
        "tags": [
            {"name": "reading", "description": "What there is to read."},
            {"name": "commands", "description": "What can be changed."},
            {"name": "laying down", "description": "What has to lie there before a command can name it."},
        ],
        "paths": paths,
        "components": {
            "schemas": shapes()[1],
            "responses": {str(status): _refusal(status) for status in REFUSALS},
            "securitySchemes": {"token": {"type": "http", "scheme": "bearer"}},
        },
    }


@cache
def examples() -> dict[str, dict[str, Any]]:
    """What stands beside each operation: `sent` (the body of a command), `answer`."""
    found: dict[str, dict[str, Any]] = json.loads(EXAMPLES.read_text(encoding="utf-8"))
    return found


def _read(read: Read) -> dict[str, Any]:
    of_one, listed = shapes()[0][read.name], read.paged
    schema = _page(of_one) if listed else of_one
    parameters = [_uid()] if read.of_one else []
    parameters += [_query(name, told, {"type": "string", "enum": ["yes"]}) for name, told in read.query]
    headers = {"ETag": _header("The version that an edit has to name.")} if read.tagged else {}
    if listed:
        most = {"type": "integer", "minimum": 1, "maximum": paging.MOST, "default": paging.USUAL}
        parameters += [
            _query("limit", "So many at once.", most),
            _query("after", "Those behind the one of this uid.", UID),
        ]
        headers["Link"] = _header("The next page and the first (RFC 8288).")
    refused = [*OF_ALL, *([404] if read.of_one else []), *([422] if parameters else [])]
    return {
        "operationId": read.name,
        "tags": ["reading"],
        "summary": read.summary,
        "security": [{"token": []}, {}],
        "parameters": parameters,
        "responses": {"200": _answer(read.name, schema, headers), **_refused(refused)},
    }


def _command(asked: Asked) -> dict[str, Any]:
    refused = [*OF_ALL, 400, 404, 409, 413, 415, 422, *((412, 428) if asked.edits else ())]
    summary, _, more = (inspect.getdoc(asked.command) or "").partition("\n")
    return {
        "operationId": asked.path,
        "tags": ["commands"],
        "summary": summary,
        **({"description": " ".join(more.split())} if more.strip() else {}),
        "security": [{"token": []}],
        "parameters": [_key(), *([_version(asked)] if asked.edits else [])],
        "requestBody": {"required": True, "content": {"application/json": _sent(asked)}},
        "responses": {"200": _answer(asked.path, shapes()[0]["done"], {}), **_refused(refused)},
    }


def _sent(asked: Asked) -> dict[str, Any]:
    found = examples().get(asked.path)
    schema = {"schema": {"$ref": REF.format(model=asked.name)}}
    return {**schema, **({"example": found["sent"]} if found else {})}


def _laid(laid: Laid) -> dict[str, Any]:
    as_json = {"type": "object", "required": ["address"], "properties": {"address": {"type": "string"}}}
    content = {
        kind: {"schema": {**as_json, "additionalProperties": False} if kind == "application/json" else {}}
        for kind in laid.takes
    }
    return {
        "operationId": laid.name,
        "tags": ["laying down"],
        "summary": laid.summary,
        "security": [{"token": []}],
        "requestBody": {"required": True, "content": content},
        "responses": {"200": _answer(laid.name, shapes()[0][laid.name], {}), **_refused([*OF_ALL, 400, 413, 415, 422])},
    }


def _answer(name: str, schema: Schema, headers: dict[str, Any]) -> dict[str, Any]:
    found = examples().get(name)
    content = {"schema": schema, **({"example": found["answer"]} if found else {})}
    told = {"description": "The answer.", "content": {"application/json": content}}
    return {**told, **({"headers": headers} if headers else {})}


def _page(item: Schema) -> Schema:
    return {
        "type": "object",
        "required": ["items"],
        "properties": {"items": {"type": "array", "items": item, "maxItems": paging.MOST}},
        "additionalProperties": False,
    }


def _refused(statuses: list[int]) -> dict[str, Any]:
    return {str(status): {"$ref": f"#/components/responses/{status}"} for status in sorted(statuses)}


def _refusal(status: int) -> dict[str, Any]:
    schema = {"$ref": REF.format(model="Problem")}
    described = f"{HTTPStatus(status).phrase}. {REFUSALS[status]}"
    return {"description": described, "content": {MEDIA_TYPE: {"schema": schema}}}


def _uid() -> dict[str, Any]:
    return {"name": "uid", "in": "path", "required": True, "schema": UID}


def _query(name: str, told: str, schema: Schema) -> dict[str, Any]:
    return {"name": name, "in": "query", "description": told, "schema": schema}


def _key() -> dict[str, Any]:
    told = "A UUID of your own for this change: sent again under it, it is done once. Without one it is done each time."
    return {"name": KEY_HEADER, "in": "header", "description": told, "schema": UID}


def _version(asked: Asked) -> dict[str, Any]:
    told = "The ETag under which what is changed was read."
    if asked.may_begin:
        told += " Left out where there is none yet."
    schema = {"type": "string", "pattern": '^"[0-9]{1,9}"$'}
    return {
        "name": VERSION_HEADER,
        "in": "header",
        "required": not asked.may_begin,
        "description": told,
        "schema": schema,
    }


def _header(told: str) -> dict[str, Any]:
    return {"description": told, "schema": {"type": "string"}}
