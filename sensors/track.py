"""One sensor followed: taken up where the file left it, and what is to be written of it."""

import json
import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from operator import itemgetter

from sqlite_utils import Database

from sensors import rest, winder
from sensors.follow import Follower, Mark
from sensors.kinds import Beats, Boolean, Level
from sensors.rest import Span, Unlike
from sensors.seat import Seat
from sensors.sensor import Sensor
from sensors.turns import Hour
from tracker.store.sensed import writing
from tracker.store.sensed.writing import Found, Kept

Open = Span | Hour | None


@dataclass(slots=True)
class Track:
    """A sensor's follower beside what the file holds of it: what was found after its mark, and what is open."""

    known: Kept
    follower: "Follower[rest.Course, rest.Found] | Follower[winder.Course, winder.Found]"
    found: list[Found]
    open: Open


def take_up(db: Database, sensor: Sensor, handed_over_s: tuple[float, ...]) -> Track:
    """Follow a sensor from where the file left it; part of a change, since what was set up otherwise is settled first."""
    known = _as_set_up(db, writing.numbered(db, sensor.uid), sensor, handed_over_s)
    follower = _follower(sensor, handed_over_s, known)
    follower.add(writing.readings_after(db, known.number, -math.inf if known.upto_s is None else known.upto_s))
    unsettled = writing.unsettled(db, known.number)
    is_open = [each for each in unsettled if isinstance(each, Span) and each.end == "open"]
    hours = sorted(each for each in unsettled if isinstance(each, Hour))
    opened: Open = (is_open or hours or [None])[-1]
    return Track(known, follower, _in_order(each for each in unsettled if each != opened), opened)


def write(db: Database, track: Track) -> None:
    """Write what was found since; others are told unless only what is open grew."""
    follower, known = track.follower, track.known
    settled: list[Found] = list(follower.settled())
    recent, opened = _in_order(follower.recent), _open(follower.course)
    changed = _in_order([*settled, *recent]) != track.found or _begun(opened) != _begun(track.open)
    if changed or settled:
        writing.rewrite(db, known.number, settled, [*recent, opened] if opened else recent)
    elif opened and opened != track.open:
        writing.grow(db, known.number, opened)
    if changed:
        writing.raise_counter(db, known.number)
    track.found, track.open = recent, opened
    if follower.mark.upto_s > (-math.inf if known.upto_s is None else known.upto_s):
        track.known = known._replace(upto_s=follower.mark.upto_s, course=_text(follower.mark.course))
        writing.keep_mark(db, track.known)


def read_as(sensor: Sensor) -> str:
    """What a value kept of this sensor means: as long as this stays, old readings can be read by a new set-up."""
    match sensor.reports:
        case Beats(window_s=window_s):
            means = f"beats in {window_s:g} s"
        case Boolean() | Level():
            means = type(sensor.reports).__name__.lower()
        case _:
            means = repr(sensor.reports)
    return f"{means}; {replace(sensor.form, time_at=None)!r}"


def _set_up(known: Kept, sensor: Sensor, handed_over_s: tuple[float, ...]) -> Kept:
    return known._replace(set_up=repr(sensor.setup), read_as=read_as(sensor), handed_over=json.dumps(handed_over_s))


def out_of_date(db: Database, sensor: Sensor, handed_over_s: tuple[float, ...]) -> bool:
    """Whether something was found of a sensor while it was set up otherwise than now."""
    known = writing.known(db, sensor.uid)
    return known is not None and known != _set_up(known, sensor, handed_over_s)


def _as_set_up(db: Database, known: Kept, sensor: Sensor, handed_over_s: tuple[float, ...]) -> Kept:
    now = _set_up(known, sensor, handed_over_s)
    if now == known:
        return known
    from_s = _anew_from(db, known, now)
    if from_s is not None:
        writing.forget_found(db, known.number, from_s)
        writing.close_off(db, known.number)
        writing.raise_counter(db, known.number)
        now = now._replace(upto_s=math.nextafter(from_s, -math.inf), course="")
    writing.keep_mark(db, now)
    return now


def _anew_from(db: Database, known: Kept, now: Kept) -> float | None:
    """From when on all must begin anew; None: what is not settled can be read by the new set-up.

    If its values mean something else now, old ones must not be read at all. Where the seat was handed over at other
    moments, what was found before the first of them stands: it was read as befits the watch that lay there then.
    """
    oldest_s = writing.oldest_reading_s(db, known.number)
    if known.newest_s is None or oldest_s is None:
        return None
    if known.read_as != now.read_as:
        return math.nextafter(known.newest_s, math.inf)
    first_s = min(set(json.loads(known.handed_over)) ^ set(json.loads(now.handed_over)), default=math.inf)
    within = known.set_up == now.set_up and (known.upto_s is None or first_s > known.upto_s)
    return None if first_s == math.inf or within else max(first_s, oldest_s)


def _follower(
    sensor: Sensor, handed_over_s: tuple[float, ...], known: Kept
) -> "Follower[rest.Course, rest.Found] | Follower[winder.Course, winder.Found]":
    setup = sensor.setup
    upto_s = -math.inf if known.upto_s is None else known.upto_s
    stored = json.loads(known.course or "null")
    if isinstance(setup, rest.Setup):
        course = rest.BEGIN if stored is None else rest.Course(*stored)
        return Follower(Seat(setup, handed_over_s), Mark(upto_s, course))
    return Follower(setup, Mark(upto_s, setup.begin if stored is None else winder.again(stored)))


def _text(course: "rest.Course | winder.Course") -> str:
    return json.dumps(list(course) if isinstance(course, rest.Course) else winder.kept(course))


def _open(course: "rest.Course | winder.Course") -> Open:
    if isinstance(course, winder.Course):
        return course.open
    if course.state is None:
        return None
    return Span(course.state, min(course.since_s, course.sure_s), course.sure_s, "open")


def _begun(opened: Open) -> tuple[object, ...]:
    if isinstance(opened, Span):
        return (opened.state, opened.from_s)
    return () if opened is None else (opened.hour,)


def _in_order(found: Iterable[Found]) -> list[Found]:
    """The same things found are the same list; the values of a contradiction stand among the readings."""
    plain = (Unlike(each.at_s, ()) if isinstance(each, Unlike) else each for each in found)
    return [
        each
        for _, _, each in sorted(((type(each).__name__, tuple(each), each) for each in plain), key=itemgetter(0, 1))
    ]
