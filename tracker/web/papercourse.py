"""The run-downs of a watch drawn for paper, as SVG geometry: no script, so that a print carries them.

A run known to the hour is a dot; one that ended between two moments a lens as high as what is not known of it; "at least"
and "at most" are tapers that thin out the way it is open.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import takewhile
from zoneinfo import ZoneInfo

from tracker.figures import Figures
from tracker.plots import coursewords, dates
from tracker.plots.course import Course
from tracker.plots.frame import Frame, frame
from tracker.plots.markforms import meaning
from tracker.plots.marks import Form, Mark, marks
from tracker.words import say, written

WIDTH, HEIGHT = 680.0, 230.0
LEFT, RIGHT, TOP, BOTTOM = 40.0, 8.0, 10.0, 36.0
"""Room for what is written beside and below the drawing."""
DOT, SMALL_DOT, HALF_LENS, HALF_BASE, TAPER = 3.0, 1.6, 2.6, 2.8, 17.0
ROOM_AT_END, LEAST_LENGTH = 0.02, timedelta(days=28)
STEPS = (1, 2, 5, 10, 20, 50, 100, 200)
MOST_TICKS = 6


@dataclass(frozen=True, slots=True)
class Shape:
    """One run: its outline, and how it is drawn."""

    form: Form
    path: str
    former: bool = False
    held: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """The drawing: ticks as place and words, services as places, the band of the reserve and its middle as paths."""

    sentence: str
    unit: str
    hours: tuple[tuple[float, str], ...]
    days: tuple[tuple[float, tuple[str, ...]], ...]
    services: tuple[float, ...]
    band: str
    middle: str
    shapes: tuple[Shape, ...]
    key: tuple[tuple[Shape, str], ...]
    former: bool


@dataclass(frozen=True, slots=True)
class Scale:
    """Places in the drawing for moments and hours."""

    within: Frame
    end: datetime

    def x(self, moment: datetime) -> float:
        """How far to the right."""
        share = (moment - self.within.start) / (self.end - self.within.start)
        return round(LEFT + share * (WIDTH - LEFT - RIGHT), 1)

    def y(self, hours: float) -> float:
        """How far down, kept within the drawing."""
        share = (min(max(hours, self.within.low_h), self.within.high_h) - self.within.low_h) / (
            self.within.high_h - self.within.low_h
        )
        return round(HEIGHT - BOTTOM - share * (HEIGHT - TOP - BOTTOM), 1)


def paper(each: Figures, threshold: float, now: datetime, zone: ZoneInfo) -> Paper | None:
    """The drawing of a watch; None where no run that tells something has ended, or its figures are behind its log."""
    track, since = each.estimate.history, each.segment.since
    if each.behind or track is None or since is None or not any(run.evidence.spans_h for run in each.history.runs):
        return None
    course = Course(track, since, each.segment.asked_at)
    held_uid = each.held.run_uid if each.held else None
    found = marks(each.history, zone, lambda moment: course.at(moment).mid, held_uid)
    within = frame(found, [], track, since, now)
    scale = Scale(within, max(now + ROOM_AT_END * (now - within.start), within.start + LEAST_LENGTH))
    shown = [mark for mark in found if within.shows(mark)]
    forms = {mark.form for mark in shown}
    return Paper(
        sentence=coursewords.course(each.estimate, each.segment, threshold, now, zone),
        unit=say("days") if within.unit_h > 1 else say("hours"),
        hours=tuple((scale.y(hours), text) for hours, text in hour_ticks(within)),
        days=_days(scale, zone),
        services=tuple(scale.x(at) for at in each.history.services if at >= within.start),
        band=_band(course, scale),
        middle="" if each.estimate.one_of_h else _middle(course, scale),
        shapes=tuple(shape for mark in shown for shape in shapes(mark, scale)),
        key=tuple((sample(form), words) for form, (_, words) in meaning().items() if form in forms),
        former=any(mark.former for mark in shown),
    )


def hour_ticks(within: Frame) -> list[tuple[float, str]]:
    """A few round lengths within the frame, in hours, and what they say in its unit."""
    low, high = within.low_h / within.unit_h, within.high_h / within.unit_h
    step = next((step for step in STEPS if (high - low) / step <= MOST_TICKS), STEPS[-1])
    first = -(-low // step) * step
    found = takewhile(lambda each: each <= high, (first + step * n for n in range(MOST_TICKS + 1)))
    return [(each * within.unit_h, written(each, "g")) for each in found]


def _days(scale: Scale, zone: ZoneInfo) -> tuple[tuple[float, tuple[str, ...]], ...]:
    told = dates.ticks(scale.within.start, scale.end, zone)
    moments = [datetime.fromisoformat(each).replace(tzinfo=zone) for each in told["tickvals"]]
    pairs = zip(moments, told["ticktext"], strict=True)
    return tuple((scale.x(moment), tuple(text.split("<br>"))) for moment, text in pairs)


def _band(course: Course, scale: Scale) -> str:
    moments, bands = course.between(course.since, max(course.since, min(course.asked_at, scale.end)))
    there = [f"{scale.x(at)},{scale.y(each.high)}" for at, each in zip(moments, bands, strict=True)]
    back = [f"{scale.x(at)},{scale.y(each.low)}" for at, each in zip(moments, bands, strict=True)][::-1]
    return f"M{' L'.join([*there, *back])}Z"


def _middle(course: Course, scale: Scale) -> str:
    moments, bands = course.between(course.since, max(course.since, min(course.asked_at, scale.end)))
    return f"M{' L'.join(f'{scale.x(at)},{scale.y(each.mid)}' for at, each in zip(moments, bands, strict=True))}"


def shapes(mark: Mark, scale: Scale) -> list[Shape]:
    """The outlines of a mark: one, but for each moment that the hands allow."""
    return [Shape(mark.form, path, mark.former, mark.held) for path in _paths(mark, scale)]


def _paths(mark: Mark, scale: Scale) -> list[str]:
    x = scale.x(mark.at)
    if mark.form == "out":
        return [_dot(x, HEIGHT - BOTTOM - DOT, DOT)]
    if mark.form == "bar":
        return [_outline(mark.form, x, [scale.y(hours) for hours in mark.anchors_h])]
    held = [(n, scale.y(hours)) for n, hours in enumerate(mark.anchors_h) if scale.within.holds(hours)]
    if mark.form == "dots":
        return [_dot(x, y, DOT if n == mark.likeliest else SMALL_DOT) for n, y in held]
    return [_outline(mark.form, x, [y]) for _, y in held]


def _outline(form: Form, x: float, places: Sequence[float]) -> str:
    if form == "bar":
        low, high = places
        middle = (low + high) / 2
        return f"M{x},{low} L{x + HALF_LENS:.1f},{middle:.1f} L{x},{high} L{x - HALF_LENS:.1f},{middle:.1f}Z"
    if form in {"up", "down"}:
        tip = places[0] - TAPER if form == "up" else places[0] + TAPER
        return f"M{x - HALF_BASE:.1f},{places[0]} L{x + HALF_BASE:.1f},{places[0]} L{x},{tip:.1f}Z"
    return _dot(x, places[0], DOT)


def _dot(x: float, y: float, radius: float) -> str:
    return f"M{x - radius:.1f},{y} a{radius},{radius} 0 1,0 {2 * radius},0 a{radius},{radius} 0 1,0 {-2 * radius},0Z"


def sample(form: Form) -> Shape:
    """The form as it stands in the key, in a box of 12 by 20."""
    places = {"bar": (18.0, 2.0), "up": (18.0,), "down": (2.0,)}.get(form, (10.0,))
    return Shape(form, _dot(6.0, 10.0, DOT) if form in {"out", "dots"} else _outline(form, 6.0, places))
