"""Readings of a rest sensor to spans of going and stopped: a pure state machine that is fed stamp by stamp, in order.

A sensor may leave us ignorant; it may never make us wrong. So a span reaches only from and to readings that said so
themselves and belong to a stretch that held; whatever is in doubt between two spans lies in the bracket of the stop.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby
from operator import itemgetter
from typing import Literal, NamedTuple

from sensors.kinds import Kind, Sign, State

GAP_INTERVALS = 3
"""No reading, or none that fits the watch, for longer than this many expected intervals is a gap."""
End = Literal["stopped", "going", "unknown", "open"]


@dataclass(frozen=True, slots=True)
class Setup:
    """How a rest sensor is set up: what it reports, how often, and how long a change must hold to count."""

    kind: Kind
    expected_s: float
    confirm_readings: int = 3
    confirm_s: float = 120.0

    @property
    def gap_s(self) -> float:
        """Silence longer than this is a gap."""
        return GAP_INTERVALS * self.expected_s

    @property
    def begin(self) -> "Course":
        """Before the first reading."""
        return BEGIN

    def advance(self, course: "Course", at_s: float, values: Sequence[float]) -> tuple["Course", list["Found"]]:
        """Take the different values of one stamp, as `advance` below."""
        return advance(self, course, at_s, values)


class Span(NamedTuple):
    """A state from its first to its last sure reading, in seconds since 1970.

    `end` is the state that followed, *unknown* (a gap) or *open* (nothing has come since).
    """

    state: State
    from_s: float
    to_s: float
    end: End


class Stop(NamedTuple):
    """The watch stopped after its last sure going reading and before the first stopped one; a gap may lie between."""

    after_s: float
    before_s: float


class Unlike(NamedTuple):
    """Readings of one stamp that contradict each other: all are unreadable."""

    at_s: float
    values: tuple[float, ...]


Found = Span | Stop | Unlike


class Course(NamedTuple):
    """All that must be kept of the readings so far: the confirmed state, the newest stretch of equal readings, contact.

    `since_s` to `sure_s` is the confirmed state; `stretch` began at `first_s`, has `readings` of them and is sure up to
    `last_s`. `left_s` is when the watch was last surely going before a gap. `whole` is whether the newest going reading
    had but one meaning.
    """

    state: State | None = None
    since_s: float = 0.0
    sure_s: float = 0.0
    stretch: State | None = None
    first_s: float = 0.0
    last_s: float = 0.0
    readings: int = 0
    heard_s: float | None = None
    left_s: float | None = None
    whole: bool = False


BEGIN = Course()


def advance(setup: Setup, course: Course, at_s: float, values: Sequence[float]) -> tuple[Course, list[Found]]:
    """Take the different values of one stamp, later than any before; return what is now known and what came to an end."""
    signs = [setup.kind.sign(value) for value in values]
    says = {sign.says for sign in signs} - {None}
    if len(says) > 1:
        return course, [Unlike(at_s, tuple(values))]
    found: list[Found] = []
    if course.heard_s is not None and at_s - course.heard_s > setup.gap_s:
        course, found = _lost(course)
    if any(sign.fits for sign in signs):
        course = course._replace(heard_s=at_s)
    if not says:
        return course, found
    course = _stretched(course, at_s, [sign for sign in signs if sign.says])
    if course.readings < setup.confirm_readings or at_s - course.first_s < setup.confirm_s:
        return course, found
    course, changed = _confirmed(course)
    return course, found + changed


def fold(setup: Setup, readings: Iterable[tuple[float, float]], course: Course = BEGIN) -> tuple[Course, list[Found]]:
    """Advance by readings (stamp, value) in order of stamp, doubles allowed; all of one stamp must be among them."""
    found: list[Found] = []
    for at_s, group in groupby(readings, itemgetter(0)):
        course, ended = advance(setup, course, at_s, sorted({value for _, value in group}))
        found += ended
    return course, found


def tail(setup: Setup, course: Course, now_s: float) -> Span | None:
    """The span that has not ended: open, or unknown if by `now_s` the sensor has been silent for a gap."""
    if course.state is None or course.heard_s is None:
        return None
    end: End = "unknown" if now_s - course.heard_s > setup.gap_s else "open"
    return _span(course, end)


def _span(course: Course, end: End) -> Span:
    assert course.state is not None  # noqa: S101 -- told to the type checker; callers have looked
    return Span(course.state, min(course.since_s, course.sure_s), course.sure_s, end)


def _lost(course: Course) -> tuple[Course, list[Found]]:
    """A gap: the state ends as unknown; only that the watch had been going is remembered."""
    if course.state is None:
        return BEGIN._replace(left_s=course.left_s, whole=course.whole), []
    left_s = course.sure_s if course.state == "going" else None
    return BEGIN._replace(left_s=left_s, whole=course.whole), [_span(course, "unknown")]


def _stretched(course: Course, at_s: float, signs: Sequence[Sign]) -> Course:
    """The stretch with one reading more, or a new one."""
    says = signs[0].says
    lacking_s = max(sign.most_s if course.whole else sign.least_s for sign in signs)
    whole = all(sign.least_s == sign.most_s for sign in signs) if says == "going" else course.whole
    if says != course.stretch:
        return course._replace(stretch=says, first_s=at_s, last_s=at_s - lacking_s, readings=1, whole=whole)
    last_s = max(course.last_s, at_s - lacking_s)
    return course._replace(last_s=last_s, readings=course.readings + 1, whole=whole)


def _confirmed(course: Course) -> tuple[Course, list[Found]]:
    """The stretch has held: it is the state now, and what was the state before has ended where it was last sure."""
    if course.stretch == course.state:
        return course._replace(sure_s=course.last_s), []
    found: list[Found] = []
    was_going_s = course.left_s
    if course.state is not None and course.stretch is not None:
        found.append(_span(course, course.stretch))
        was_going_s = course.sure_s if course.state == "going" else None
    if course.stretch == "stopped" and was_going_s is not None:
        found.append(Stop(was_going_s, course.first_s))
    state = course._replace(state=course.stretch, since_s=course.first_s, sure_s=course.last_s, left_s=None)
    return state, found
