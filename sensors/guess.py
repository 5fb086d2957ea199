"""From one message to the ways in which it could be read, likeliest first: for whoever does not know what a sensor sends."""

import json
from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

from sensors.payload import LONGEST, Form, Gives, Reading, read
from sensors.pointer import find
from sensors.senml import resolve
from sensors.stamp import believed, moment_s
from sensors.unread import Unread, Unreadable

MOST_PLACES = 200
"""So many values of one message are looked at."""
DEEPEST = 12
TIME_NAMES = ("t", "time", "ts", "timestamp", "at", "date", "datetime", "when", "last_seen", "epoch")
"""Names that times go by; any other place may hold one, too, but is not proposed."""


class Guess(NamedTuple):
    """A way to read a message, and what it then says."""

    form: Form
    reading: Reading


def guesses(message: bytes, arrived_s: float) -> list[Guess]:
    """Every way to read a message that came at `arrived_s` (seconds since 1970), likeliest first; none if there is none.

    A value that may be a boolean is read as one before it is read as a number; a time is proposed with it where the
    message holds one that can be believed.
    """
    found = [
        Guess(form, reading)
        for form in (*_plain(), *_senml(message, arrived_s), *_json(message, arrived_s))
        for reading in read(message, form, arrived_s)
        if not isinstance(reading, Unread)
    ]
    return sorted({each.form: each for each in found}.values(), key=_unlikely)


def _unlikely(guess: Guess) -> tuple[bool, bool, int, str]:
    form = guess.form
    return form.gives != "boolean", form.time_at is None and not guess.reading.stamped, len(form.value_at), form.record


def _plain() -> Iterator[Form]:
    for gives in _GIVES:
        yield Form("plain", gives)


_GIVES: tuple[Gives, ...] = ("boolean", "number")


def _senml(message: bytes, arrived_s: float) -> Iterator[Form]:
    document = _document(message)
    if not isinstance(document, list):
        return
    try:
        records = resolve(document, arrived_s)
    except Unreadable:
        return
    for record in records[:MOST_PLACES]:
        for gives in _GIVES:
            yield Form("senml", gives, record=record.name)


def _json(message: bytes, arrived_s: float) -> Iterator[Form]:
    document = _document(message)
    if not isinstance(document, dict):
        return
    places = [path for path, _ in zip(_places(document, ()), range(MOST_PLACES), strict=False)]
    times = [path for path in places if path[-1].casefold() in TIME_NAMES and _is_time(find(document, path), arrived_s)]
    for path in places:
        if path in times:
            continue
        for gives in _GIVES:
            form = Form("json", gives, value_at=path)
            yield from (replace(form, time_at=time) for time in _nearest(path, times))
            yield form


def _nearest(path: tuple[str, ...], times: list[tuple[str, ...]]) -> list[tuple[str, ...]]:
    """The time that shares most of the value's path."""

    def shared(time: tuple[str, ...]) -> int:
        return sum(1 for one, other in zip(path, time, strict=False) if one == other)

    return [max(times, key=shared)] if times else []


def _is_time(value: object, arrived_s: float) -> bool:
    try:
        believed(moment_s(value), arrived_s)
    except Unreadable:
        return False
    return True


def _places(value: object, path: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    """The paths of everything that is no object or list."""
    if isinstance(value, dict | list) and len(path) < DEEPEST:
        pairs = value.items() if isinstance(value, dict) else enumerate(value)
        for name, each in pairs:
            yield from _places(each, (*path, str(name)))
    elif isinstance(value, bool | int | float | str) and path:
        yield path


def _document(message: bytes) -> object:
    if len(message) > LONGEST:
        return None
    try:
        return json.loads(message)
    except (ValueError, RecursionError):
        return None
