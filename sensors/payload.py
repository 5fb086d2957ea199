"""A message's bytes to readings, or to the reason why not; never an exception."""

import json
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, NamedTuple, NoReturn

from sensors.pointer import Missing, find
from sensors.senml import Record, resolve
from sensors.stamp import believed, moment_s
from sensors.unread import Unread, Unreadable, shown

Written = Literal["plain", "json", "senml"]
Gives = Literal["boolean", "number", "turning"]
LONGEST = 64 * 1024
GOING_WORDS = ("on", "true", "1", "going", "yes")
STOPPED_WORDS = ("off", "false", "0", "stopped", "no")
CLOCKWISE_WORDS = ("clockwise", "right")
ANTICLOCKWISE_WORDS = ("anticlockwise", "counterclockwise", "left")
_NUMBER = re.compile(r"[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]+)?", re.ASCII)


@dataclass(frozen=True, slots=True)
class Form:
    """How a sensor's messages are written, as it was set up.

    `gives` is a boolean (going or not), a number (a level, a count), or turning: a word for a direction or one for stopped.
    `value_at`, `time_at` and `direction_at` are JSON pointers as `pointer.tokens` splits them; no `time_at`, no stamp;
    `direction_at` leads to a word for the direction of what the value counts. `record` is the full name of a SenML
    record, base name included. Words are compared without regard to case.
    """

    written: Written
    gives: Gives
    value_at: tuple[str, ...] = ()
    time_at: tuple[str, ...] | None = None
    record: str = ""
    going_words: tuple[str, ...] = GOING_WORDS
    stopped_words: tuple[str, ...] = STOPPED_WORDS
    direction_at: tuple[str, ...] | None = None
    clockwise_words: tuple[str, ...] = CLOCKWISE_WORDS
    anticlockwise_words: tuple[str, ...] = ANTICLOCKWISE_WORDS


class Reading(NamedTuple):
    """What a sensor said: seconds since 1970 in UTC, and a number (1 going, 0 stopped where it gives a boolean).

    Where the message tells a direction, what is anticlockwise is below 0.

    `stamped` is false where the time is, or counts from, the arrival. `unit` is SenML's, as written.
    """

    at_s: float
    value: float
    stamped: bool
    unit: str = ""


def read(message: bytes, form: Form, arrived_s: float) -> list[Reading | Unread]:
    """Read a message that came at `arrived_s` (seconds since 1970, UTC).

    A SenML pack may hold several readings, each good or bad for itself; else it is one. The list is never empty.
    """
    try:
        return READERS[form.written](_text(message), form, arrived_s)
    except Unreadable as reason:
        return [reason.unread]


def _text(message: bytes) -> str:
    if len(message) > LONGEST:
        raise Unreadable("too long")
    try:
        text = message.decode("utf-8").strip()
    except UnicodeDecodeError:
        raise Unreadable("not UTF-8") from None
    if not text:
        raise Unreadable("empty")
    return text


def _plain(text: str, form: Form, arrived_s: float) -> list[Reading | Unread]:
    return [Reading(arrived_s, _value(text, form), stamped=False)]


def _json(text: str, form: Form, arrived_s: float) -> list[Reading | Unread]:
    document = _parsed(text)
    value = _value(_at(document, form.value_at), form)
    if value and form.direction_at is not None:
        value *= _turning(_at(document, form.direction_at), form)
    if form.time_at is None:
        return [Reading(arrived_s, value, stamped=False)]
    return [Reading(believed(moment_s(_at(document, form.time_at)), arrived_s), value, stamped=True)]


def _senml(text: str, form: Form, arrived_s: float) -> list[Reading | Unread]:
    records = [record for record in resolve(_parsed(text), arrived_s) if record.name == form.record]
    if not records:
        raise Unreadable("no record", shown(form.record))
    return [_of_record(record, form, arrived_s) for record in records]


READERS: dict[Written, Callable[[str, Form, float], list[Reading | Unread]]] = {
    "plain": _plain,
    "json": _json,
    "senml": _senml,
}


def _of_record(record: Record, form: Form, arrived_s: float) -> Reading | Unread:
    try:
        value = _value(record.sum if record.value is None else record.value, form)
        return Reading(believed(record.at_s, arrived_s), value, record.stamped, record.unit)
    except Unreadable as reason:
        return reason.unread


def _parsed(text: str) -> object:
    try:
        document: object = json.loads(text, object_pairs_hook=_once, parse_constant=_no_constant)
    except json.JSONDecodeError:
        raise Unreadable("not JSON") from None
    except (RecursionError, ValueError):
        raise Unreadable("beyond JSON") from None
    return document


def _once(pairs: list[tuple[str, object]]) -> dict[str, object]:
    found = dict(pairs)
    if len(found) < len(pairs):
        raise Unreadable("beyond JSON")
    return found


def _no_constant(_: str) -> NoReturn:
    # NaN and Infinity are no JSON, though Python would read them.
    raise Unreadable("not JSON")


def _at(document: object, path: tuple[str, ...]) -> object:
    try:
        return find(document, path)
    except Missing:
        pointer = "".join("/" + token.replace("~", "~0").replace("/", "~1") for token in path)
        raise Unreadable("not there", shown(pointer)) from None


def _value(value: object, form: Form) -> float:
    if form.gives == "number":
        return _number(value)
    return _going(value, form) if form.gives == "boolean" else _turning(value, form)


def _going(value: object, form: Form) -> float:
    if isinstance(value, bool):
        return float(value)
    meant = _word(value, ((form.going_words, 1.0), (form.stopped_words, 0.0)))
    if meant is None:
        raise Unreadable("no word", shown(value))
    return meant


def _turning(value: object, form: Form) -> float:
    words = ((form.clockwise_words, 1.0), (form.anticlockwise_words, -1.0), (form.stopped_words, 0.0))
    meant = _word(value, words if form.direction_at is None else words[:2])
    if meant is None:
        raise Unreadable("no direction", shown(value))
    return meant


def _word(value: object, meanings: tuple[tuple[tuple[str, ...], float], ...]) -> float | None:
    if not isinstance(value, str | int | float):
        return None
    word = (f"{value:g}" if isinstance(value, float) else shown(value) if isinstance(value, int) else value).strip()
    for words, meaning in meanings:
        if word.casefold() in (each.casefold() for each in words):
            return meaning
    return None


def _number(value: object) -> float:
    if isinstance(value, str) and not _NUMBER.fullmatch(value.strip()):
        raise Unreadable("no number", shown(value))
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise Unreadable("no number", shown(value))
    try:
        number = float(value)
    except OverflowError:
        number = float("inf")
    if number - number != 0.0:
        raise Unreadable("no number", shown(value))
    return number
