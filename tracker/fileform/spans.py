"""The file form of `going spans`: readings of a rest sensor in, spans of going and stopped and brackets of stops out."""

from collections.abc import Callable, Iterable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from sensors.kinds import Beats, Boolean, Kind, Level
from sensors.rest import Course, Found, Setup, Span, Stop, Unlike, fold, tail
from tracker.errors import BadInput, NotFound, Unavailable, UnknownKey
from tracker.fileform.reading import a_flag, a_moment, a_number, an_object, parse_json, refuse
from tracker.words import say

LARGEST = 1e12
LONGEST_S = 1e8
MOST_READINGS = 1e6
MOST_TOLERANCE = 0.3
"""From a third on, half the beats could not be told from none."""
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
YEARS = range(1970, 3000)
COMMON = ("kind", "expected_s", "confirm_readings", "confirm_s")
READING = {"boolean": "going", "level": "level", "beats": "beats"}


def answer_file(path: str) -> dict[str, Any]:
    """Answer the readings in a file."""
    try:
        with Path(path).open("rb") as file:
            return answer(file)
    except FileNotFoundError as missing:
        raise NotFound(say("There is no file {path}.", path=path)) from missing
    except OSError as unreadable:
        raise Unavailable(say("{path} can't be read: {why}.", path=path, why=unreadable.strerror)) from unreadable


def answer(lines: Iterable[bytes]) -> dict[str, Any]:
    """Work out the spans from the lines of the file form: the set-up, then one reading a line, in any order.

    A line that tells no reading is counted as unreadable. A wrong set-up and a key the form does not have are refused
    by BadInput or UnknownKey, which name line and key.
    """
    each = iter(lines)
    kind, setup = _setup(next(each, b""))
    readings: list[tuple[float, float]] = []
    unreadable = _gather(each, READING[kind], readings)
    course, found = fold(setup, sorted(readings))
    return _answer(_with_tail(setup, course, found), unreadable)


def _gather(lines: Iterator[bytes], key: str, readings: list[tuple[float, float]]) -> int:
    """Add the readings of these lines; return how many lines told none."""
    bad = 0
    for number, line in enumerate(lines, start=2):
        try:
            if line.strip():
                readings.append(_reading(line, _place(number), key))
        except UnknownKey:
            raise
        except BadInput:
            bad += 1
    return bad


def _place(number: int) -> str:
    return say("line {number}", number=number)


def _document(line: bytes, where: str) -> object:
    try:
        return parse_json(line.decode("utf-8").strip(), name=where)
    except UnicodeDecodeError as foreign:
        raise BadInput(say("{path} is not text in UTF-8.", path=where)) from foreign


def _setup(line: bytes) -> tuple[str, Setup]:
    where = _place(1)
    document = _document(line, where)
    kind = document.get("kind") if isinstance(document, dict) else None
    own, make = KINDS[kind] if isinstance(kind, str) and kind in KINDS else ((), None)
    form = an_object(
        document, where, (*COMMON, *(own if make else (key for keys, _ in KINDS.values() for key in keys)))
    )
    if make is None:
        refuse(f"{where}/kind", say("this names no kind of sensor"), say("One of {kinds}.", kinds=", ".join(KINDS)))
    for key in ("expected_s", *own):
        if key not in form:
            refuse(f"{where}/{key}", say("this is missing"), say("A number."))
    return str(kind), Setup(
        make(form, where),
        a_number(form["expected_s"], f"{where}/expected_s", low=0.0, high=LONGEST_S, above=True),
        _whole(form.get("confirm_readings", 3), f"{where}/confirm_readings"),
        a_number(form.get("confirm_s", 120.0), f"{where}/confirm_s", low=0.0, high=LONGEST_S),
    )


def _whole(value: object, where: str) -> int:
    number = a_number(value, where, low=1.0, high=MOST_READINGS)
    if number != int(number):
        refuse(where, say("{value} is not a whole number", value=number), say("A whole number from 1 on."))
    return int(number)


def _level(form: dict[str, Any], where: str) -> Level:
    upper, lower = (a_number(form[key], f"{where}/{key}", low=-LARGEST, high=LARGEST) for key in ("upper", "lower"))
    if lower > upper:
        refuse(f"{where}/lower", say("this is above the upper one"), say("A number up to {upper:g}.", upper=upper))
    return Level(upper, lower)


def _beats(form: dict[str, Any], where: str) -> Beats:
    return Beats(
        a_number(form["vph"], f"{where}/vph", low=0.0, high=LARGEST, above=True),
        a_number(form["tolerance"], f"{where}/tolerance", low=0.0, high=MOST_TOLERANCE),
        a_number(form["window_s"], f"{where}/window_s", low=0.0, high=LONGEST_S, above=True),
    )


KINDS: dict[str, tuple[tuple[str, ...], Callable[[dict[str, Any], str], Kind]]] = {
    "boolean": ((), lambda _form, _where: Boolean()),
    "level": (("upper", "lower"), _level),
    "beats": (("vph", "tolerance", "window_s"), _beats),
}
"""The keys of a kind of sensor, all needed, and how they are read."""


def _reading(line: bytes, where: str, key: str) -> tuple[float, float]:
    entry = an_object(_document(line, where), where, ("t", key))
    moment = a_moment(entry.get("t"), f"{where}/t")
    if moment.year not in YEARS:
        refuse(f"{where}/t", say("this is too long ago or too far ahead"), say("A moment from 1970 to 2999."))
    value, place = entry.get(key), f"{where}/{key}"
    if key == "going":
        return _seconds(moment), float(a_flag(value, place))
    return _seconds(moment), a_number(value, place, low=0.0 if key == "beats" else -LARGEST, high=LARGEST)


def _seconds(moment: datetime) -> float:
    return (moment - EPOCH).total_seconds()


def _moment(seconds: float) -> str:
    return (EPOCH + timedelta(seconds=seconds)).isoformat().replace("+00:00", "Z")


def _with_tail(setup: Setup, course: Course, found: list[Found]) -> list[Found]:
    last = None if course.heard_s is None else tail(setup, course, course.heard_s)
    return found if last is None else [*found, last]


def _answer(found: list[Found], unreadable: int) -> dict[str, Any]:
    return {
        "spans": [
            {"state": each.state, "from": _moment(each.from_s), "to": _moment(each.to_s), "end": each.end}
            for each in found
            if isinstance(each, Span)
        ],
        "stops": [
            {"after": _moment(each.after_s), "before": _moment(each.before_s)}
            for each in found
            if isinstance(each, Stop)
        ],
        "unreadable": unreadable + sum(len(each.values) for each in found if isinstance(each, Unlike)),
    }
