"""Reading a JSON document strictly: what is wrong is said with its place, a JSON pointer (RFC 6901)."""

import json
import math
from collections.abc import Iterable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, NoReturn

from tracker.errors import BadInput, NotFound, Unavailable, UnknownKey
from tracker.words import say


def read_json(path: str) -> object:
    """Load a file, refusing what JSON does not have (NaN, Infinity) and keys given twice."""
    try:
        text = Path(path).read_text(encoding="utf-8")
    except FileNotFoundError as missing:
        raise NotFound(say("There is no file {path}.", path=path)) from missing
    except OSError as unreadable:
        raise Unavailable(say("{path} can't be read: {why}.", path=path, why=unreadable.strerror)) from unreadable
    except UnicodeDecodeError as foreign:
        raise BadInput(say("{path} is not text in UTF-8.", path=path)) from foreign
    return parse_json(text, name=path)


def parse_json(text: str, *, name: str) -> object:
    """Parse the text of a document called `name` as `read_json` does."""
    try:
        document: object = json.loads(text, object_pairs_hook=_once, parse_constant=_no_constant)
    except json.JSONDecodeError as broken:
        raise BadInput(
            say("{name} is not JSON: line {line}, column {column}.", name=name, line=broken.lineno, column=broken.colno)
        ) from broken
    except (RecursionError, ValueError) as beyond:
        raise BadInput(
            say("{name} is not JSON that can be read: it nests too deep or has a number too long.", name=name)
        ) from beyond
    return document


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in pairs:
        if key in found:
            raise BadInput(say("The key “{key}” is there twice in one object.", key=key), field=key)
        found[key] = value
    return found


def _no_constant(word: str) -> NoReturn:
    raise BadInput(say("{word} is not a number JSON knows.", word=word))


def refuse(where: str, what: str, accepted: str) -> NoReturn:
    """Raise the one sentence for a wrong value at a place."""
    raise BadInput(say("{where}: {what}.", where=where or "/", what=what), field=where, accepted=accepted)


def an_object(value: object, where: str, known: Iterable[str]) -> dict[str, Any]:
    """Check that a value is an object with no key but the known ones."""
    if not isinstance(value, dict):
        refuse(where, say("this is not an object"), say("An object in braces is expected."))
    for key in value:
        if key not in known:
            raise UnknownKey(f"{where}/{key}" if where else key, known=list(known))
    return value


def a_list(value: object, where: str, of: str) -> list[Any]:
    """Check that a value is a list; `of` says what of."""
    if not isinstance(value, list):
        refuse(where, say("this is not a list"), say("A list of {of} is expected.", of=of))
    return value


def a_number(value: object, where: str, *, low: float, high: float, above: bool = False) -> float:
    """Check that a value is a number from `low` (not itself, if `above`) to `high`."""
    accepted = (
        say("A number above {low:,.7g} and up to {high:,.7g}.", low=low, high=high)
        if above
        else say("A number from {low:,.7g} to {high:,.7g}.", low=low, high=high)
    )
    if isinstance(value, bool) or not isinstance(value, int | float):
        refuse(where, say("{value} is not a number", value=_shown(value)), accepted)
    if not low <= value <= high or (above and value == low) or not math.isfinite(value):
        refuse(where, say("{value} is out of range", value=_shown(value)), accepted)
    return float(value)


def a_flag(value: object, where: str) -> bool:
    """Check that a value is true or false."""
    if not isinstance(value, bool):
        refuse(where, say("{value} is neither true nor false", value=_shown(value)), say("Write true or false."))
    return value


def a_moment(value: object, where: str) -> datetime:
    """Read a date or a date and time of ISO 8601; without a zone it is UTC, a date is its midnight."""
    accepted = say("A date or a date and time, such as 2026-05-01 or 2026-05-01T07:30:00Z.")
    if not isinstance(value, str):
        refuse(where, say("{value} is not a date", value=_shown(value)), accepted)
    try:
        moment = datetime.fromisoformat(value)
        return moment.replace(tzinfo=UTC) if moment.tzinfo is None else moment.astimezone(UTC)
    except (ValueError, OverflowError):
        refuse(where, say("{value} is not a date", value=_shown(value)), accepted)


def _shown(value: object) -> str:
    text = json.dumps(value, ensure_ascii=False, default=str)
    longest = 40
    return text if len(text) <= longest else text[: longest - 1] + "…"
