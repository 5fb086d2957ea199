"""One watch on the time axis as SVG geometry: its thickness at a moment is the chance that it still goes then."""

from collections.abc import Sequence
from dataclasses import dataclass

from tracker.core.curve import Curve
from tracker.core.windby import hours_at_risk, still_going

Point = tuple[float, float]

UNITS_AN_HOUR = 10.0
HEIGHT = 24.0
FULL_HALF = 7.5
"""Half the thickness of a watch that surely goes, in the units of the drawing's height."""

LEVELS = (0.999, 0.99, 0.97, 0.94, 0.9, 0.84, 0.76, 0.67, 0.57, 0.47, 0.37, 0.28, 0.2, 0.13, 0.08, 0.04, 0.015)
"""Chances at which the outline has a point: dense where it bends, so that few points draw a smooth edge."""
HAIR_FROM = 0.1
HAIR_TO = 0.001


@dataclass(frozen=True, slots=True)
class Axis:
    """The stretch of time that is drawn, in hours before and after now."""

    before_h: float = 20.0
    after_h: float = 76.0

    @property
    def width(self) -> float:
        """Width of the drawing in its own units."""
        return (self.before_h + self.after_h) * UNITS_AN_HOUR

    def percent(self, hours: float) -> float:
        """Where a moment (hours from now) lies, in hundredths of the width; kept within the drawing."""
        return round(100.0 * (self._within(hours) + self.before_h) / (self.before_h + self.after_h), 2)

    def holds(self, hours: float) -> bool:
        """Whether a moment lies within the drawing."""
        return -self.before_h <= hours <= self.after_h

    def _within(self, hours: float, beyond: float = 0.0) -> float:
        return min(max(hours, -self.before_h - beyond), self.after_h + beyond)

    def x(self, hours: float) -> float:
        """The same in the drawing's units, up to an hour outside it: what runs off must show no edge there."""
        return (self._within(hours, 1.0) + self.before_h) * UNITS_AN_HOUR


@dataclass(frozen=True, slots=True, kw_only=True)
class Trace:
    """What is known of one run.

    `start_h`, `seen_h` and `wind_by_h` are in hours from now: its winding, the last moment it was known to be going, its
    wind-by. `curve` is how long a clean run lasts, in hours from the winding.
    """

    curve: Curve
    start_h: float
    seen_h: float
    wind_by_h: float | None = None


@dataclass(frozen=True, slots=True)
class Taper:
    """The drawing of one run: two outlines (empty if there is nothing to draw), a hair and a notch, both in percent."""

    past: str
    ahead: str
    hair: Point | None
    notch: float | None


def chance(trace: Trace, at_h: float) -> float:
    """The chance that the watch goes at a moment (hours from now), given that it was going at `seen_h`."""
    if at_h < trace.start_h:
        return 0.0
    return still_going(trace.curve, at_h - trace.start_h, seen_going_h=trace.seen_h - trace.start_h)


def falls_to(trace: Trace, level: float) -> float:
    """When, in hours from now, the chance has fallen to `level` (above 0, below 1)."""
    return trace.start_h + hours_at_risk(trace.curve, 1.0 - level, seen_going_h=trace.seen_h - trace.start_h)


def taper(trace: Trace, axis: Axis) -> Taper:
    """Draw the run on this axis."""
    edge = bends(trace)
    hair = max(falls_to(trace, HAIR_FROM), -axis.before_h), falls_to(trace, HAIR_TO)
    return Taper(
        past=_outline(points(trace, edge, -axis.before_h - 1.0, 0.0), axis),
        ahead=_outline(points(trace, edge, 0.0, axis.after_h + 1.0), axis),
        hair=(axis.percent(hair[0]), axis.percent(hair[1])) if hair[0] < min(hair[1], axis.after_h) else None,
        notch=axis.percent(trace.wind_by_h) if trace.wind_by_h is not None and axis.holds(trace.wind_by_h) else None,
    )


def bends(trace: Trace) -> list[Point]:
    """Where the upper edge falls to each of `LEVELS`, as (hours from now, chance)."""
    return [(falls_to(trace, level), level) for level in LEVELS]


def points(trace: Trace, edge: Sequence[Point], from_h: float, to_h: float) -> list[Point]:
    """The upper edge between two moments, from its bends: (hours from now, chance)."""
    start, end = max(from_h, trace.start_h), min(to_h, edge[-1][0])
    if start >= end:
        return []
    inside = [(at_h, level) for at_h, level in edge if start < at_h < end and at_h > trace.seen_h]
    full = [(trace.seen_h, 1.0)] if start < trace.seen_h < end else []
    return [(start, chance(trace, start)), *full, *inside, (end, chance(trace, end))]


def _outline(edge: Sequence[Point], axis: Axis) -> str:
    if not edge:
        return ""
    above = [(axis.x(at_h), HEIGHT / 2 - share * FULL_HALF) for at_h, share in edge]
    below = [(x, HEIGHT - y) for x, y in reversed(above)]
    return "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in [*above, *below]) + "Z"


def blank(axis: Axis, known_h: float | None) -> Taper:
    """A bar up to now for a watch of which no run is known, from the last note of it (or the left edge)."""
    left, right = axis.x(-axis.before_h - 1.0 if known_h is None else known_h), axis.x(0.0)
    top, bottom = HEIGHT / 2 - FULL_HALF, HEIGHT / 2 + FULL_HALF
    outline = f"M{left:.1f} {top:.1f}H{right:.1f}V{bottom:.1f}H{left:.1f}Z"
    return Taper(past=outline, ahead="", hair=None, notch=None)
