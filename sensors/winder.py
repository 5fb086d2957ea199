"""What a winder channel reports, to turns by hour and direction: a pure state machine fed stamp by stamp, in order.

It never invents turns. What it can't count leaves the time unaccounted for, which is not the same as no turns.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from sensors.counter import FIXED, Broken, Count, Counter, Told, counted, direction, most
from sensors.rest import GAP_INTERVALS, Unlike
from sensors.turns import Hour, Piece, pour


@dataclass(frozen=True, slots=True)
class Increments:
    """The turns since the message before, `per_turn` of the number a turn. What is lost on the way is lost.

    By `told` *sign* or *word* a number below 0 is anticlockwise.
    """

    told: Told = "not known"
    per_turn: float = 1.0

    def meant(self, value: float) -> float:
        """What makes a reading unlike another."""
        return value


@dataclass(frozen=True, slots=True)
class Turning:
    """Whether it turns: 0 is not; by *sign* or *word* 1 is clockwise and -1 anticlockwise. Turns are time by speed."""

    turns_per_min: float
    told: Told = "not known"

    def meant(self, value: float) -> float:
        """1, -1 or 0."""
        return math.copysign(1.0, value) if value else 0.0


@dataclass(frozen=True, slots=True)
class Power:
    """Watts: above the threshold it turns, at `turns_per_min`."""

    above_w: float
    turns_per_min: float
    told: Told = "not known"

    def meant(self, value: float) -> float:
        """1 or 0."""
        return float(value > self.above_w)


Reports = Counter | Increments | Turning | Power


class Course(NamedTuple):
    """All that must be kept of the readings so far: the newest and its time, the hour still open, a count broken off."""

    heard_s: float | None = None
    value: float = 0.0
    open: Hour | None = None
    broken: Broken | None = None


BEGIN = Course()
Found = Hour | Unlike


@dataclass(frozen=True, slots=True)
class Setup:
    """How a winder channel is set up: what it reports, and how often."""

    reports: Reports
    expected_s: float

    @property
    def gap_s(self) -> float:
        """Silence longer than this is a gap."""
        return GAP_INTERVALS * self.expected_s

    @property
    def begin(self) -> Course:
        """Before the first reading."""
        return BEGIN

    def advance(self, course: Course, at_s: float, values: Sequence[float]) -> tuple[Course, list[Found]]:
        """Take the different values of one stamp, later than any before; return what is now known and the hours over.

        An hour comes once, when it is over; the newest is `Course.open`.
        """
        meant = {self.reports.meant(value) for value in values}
        if len(meant) > 1:
            return _unsure(self, course, at_s), [Unlike(at_s, tuple(values))]
        course, pieces = _step(self, course, at_s, *meant)
        open_hour, over = pour(course.open, pieces)
        return course._replace(open=open_hour), list(over)


def hours(found: Sequence[Found], course: Course) -> list[Hour]:
    """The hours among what was found, and the one still open, oldest first."""
    return [each for each in found if isinstance(each, Hour)] + ([course.open] if course.open else [])


def kept(course: Course) -> list[Any]:
    """A course as plain values for JSON."""
    broken = course.broken and [*course.broken[:2], [list(piece) for piece in course.broken.held]]
    return [course.heard_s, course.value, course.open, broken]


def again(stored: Sequence[Any]) -> Course:
    """The course that `kept` gave, also after a round trip through JSON."""
    heard_s, value, open_hour, broken = stored
    if broken is not None:
        before, broke_s, held = broken
        broken = Broken(Count(*before), broke_s, tuple(Piece(*piece) for piece in held))
    return Course(heard_s, value, open_hour and Hour(*open_hour), broken)


def _unsure(setup: Setup, course: Course, at_s: float) -> Course:
    """After readings that contradict each other: a counter goes on from the one before, all else begins anew."""
    match setup.reports:
        case Counter():
            return course
        case Increments():
            return course._replace(heard_s=at_s)
        case Turning() | Power():
            return course._replace(heard_s=None)


def _step(setup: Setup, course: Course, at_s: float, value: float) -> tuple[Course, list[Piece]]:
    pieces: list[Piece] = []
    broken = course.broken
    match setup.reports:
        case Counter() as counter if course.heard_s is not None:
            last = Count(course.heard_s, course.value)
            broken, pieces = counted(counter, setup.expected_s, broken, last, Count(at_s, value))
        case Increments() as increments:
            pieces = _added(setup, increments, course.heard_s, at_s, value)
        case Turning(speed, told) | Power(_, speed, told) if course.heard_s is not None:
            pieces = _ran(setup, course, at_s, speed, told)
    return course._replace(heard_s=at_s, value=value, broken=broken), pieces


def _ran(setup: Setup, course: Course, at_s: float, turns_per_min: float, told: Told) -> list[Piece]:
    """A state holds until the next reading, unless that comes after a gap.

    It is so where each change is sent; where the state is asked at intervals it is as often too long as too short.
    """
    if course.heard_s is None or at_s - course.heard_s > setup.gap_s:
        return []
    turns = abs(course.value) * turns_per_min * (at_s - course.heard_s) / 60.0
    return [Piece(course.heard_s, at_s, turns, direction(told, course.value))]


def _added(setup: Setup, reports: Increments, heard_s: float | None, at_s: float, value: float) -> list[Piece]:
    """Turns since the message before; if that was lost, they were made within the expected interval."""
    near = heard_s is not None and at_s - heard_s <= setup.gap_s
    from_s = heard_s if heard_s is not None and near else at_s - setup.expected_s
    turns = abs(value) / reports.per_turn
    if turns > most(at_s - from_s, setup.expected_s) or (value < 0 and reports.told in FIXED):
        return []
    return [Piece(from_s, at_s, turns, direction(reports.told, value))]
