"""Finding where a posterior's mass lies: tempered passes over a lattice, each axis boxed anew after each pass."""

import math
from dataclasses import dataclass

import numpy as np

from tracker.core.likelihood import Plane
from tracker.core.normal import FloatArray
from tracker.core.prior import TINY

KEPT_IN_SEARCH = 2e-3
KEPT_AT_LAST = 1e-5
"""A box keeps what is above this share of its marginal's peak."""
CUT_OFF = 0.03
"""A lattice with more than this share of a marginal's peak at its edge is not the last but one."""
MOST_PASSES = 24
LEAST_POINTS = 1.3
"""Points that must share a posterior's mass along each axis (one per 2.7 sd), else it is tempered further."""
FEWEST, MOST = 8, 64
"""Points along one axis of the last lattice."""
HUMP = 1e-4
"""A top less than this share of the highest is none."""
COOLER = 0.5
COOLEST = 2.0**-20
FIRST_RUNS = 64.0
"""The first pass is no hotter than so many runs' worth, …"""
MOST_HEATING = 8.0
"""… and each later one no more times as hot as the last: a pass need not look at more runs than its heat is worth."""

Interval = tuple[float, float]


def first_heat(runs: int) -> float:
    """Heat to try first with so many runs."""
    return min(1.0, FIRST_RUNS / max(1, runs))


@dataclass(frozen=True, slots=True)
class Box:
    """The box of a plane: intervals of log scatter and slope, and of the level at age `at_age`."""

    log_sigma: Interval
    slope: Interval
    level: Interval
    at_age: float

    def plane(self, shape: tuple[int, int, int]) -> Plane:
        """Lay a lattice of this shape over the box, its edges included."""
        ends = self.log_sigma, self.slope, self.level
        scatter, slope, level = (np.linspace(*pair, points) for pair, points in zip(ends, shape, strict=True))
        return Plane(scatter, slope, level, self.at_age)


def points_used(weight: FloatArray) -> list[float]:
    """Effective number of points that hold the mass along each axis, given the places on all others.

    Where it stands in humps, of one of them: as told by how alike neighbouring points are.
    """
    used, squared = [], weight * weight
    for axis, tops in enumerate(humps(weight)):
        mass, square = weight.sum(axis), squared.sum(axis)
        number = np.divide(mass * mass * mass, square, out=np.zeros_like(mass), where=square > 0.0)
        whole = float(number.sum() / mass.sum())
        used.append(whole if tops < 2 else min(whole, _points_apiece(weight, axis, float(squared.sum()))))  # noqa: PLR2004 (several)
    return used


def humps(weight: FloatArray) -> list[int]:
    """Number of tops along each axis, of all that stand above HUMP of the highest."""
    return [_tops(marginal) for marginal in _marginals(weight)]


def _tops(marginal: FloatArray) -> int:
    rises = marginal[1:] > marginal[:-1]
    top = marginal > HUMP * marginal.max()
    top[1:] &= rises
    top[:-1] &= ~rises
    return int(top.sum())


def _marginals(weight: FloatArray) -> list[FloatArray]:
    """The mass at each place of each axis."""
    if weight.ndim == 1:
        return [weight]
    half = weight.ndim // 2
    first, rest = tuple(range(half)), tuple(range(half, weight.ndim))
    return [*_marginals(weight.sum(rest)), *_marginals(weight.sum(first))]


def _points_apiece(weight: FloatArray, axis: int, square: float) -> float:
    """Points that hold a normal whose neighbouring points are as alike."""
    moved = np.moveaxis(weight, axis, 0)
    alike = float((moved[1:] * moved[:-1]).sum()) / square
    return math.sqrt(math.pi / -math.log(min(max(alike, TINY), 1.0 - 1e-9)))


def points_needed(axis: FloatArray, used: float, box: Interval, per_sd: float, most: int = MOST) -> int:
    """Points for a box so that `per_sd` of them lie on a standard deviation, as far as the coarser axis tells it.

    A normal mass of one standard deviation a cell uses 2√π points.
    """
    deviation = used * step(axis) / (2.0 * math.sqrt(math.pi))
    return int(np.clip(math.ceil(per_sd * (box[1] - box[0]) / deviation), FEWEST, most))


def step(axis: FloatArray) -> float:
    """Spacing of an evenly spaced axis."""
    return float(axis[-1] - axis[0]) / (axis.size - 1)


def held(axis: FloatArray, weight: FloatArray, least: float) -> Interval:
    """Where the weight along an axis is above `least`: cut where its log, drawn straight from point to point, crosses.

    At least half a cell beyond the last point inside. Past the lattice's edge the last stretch is drawn on, by at most
    half the lattice's width.
    """
    inside = np.flatnonzero(weight > least)
    logs = np.log(np.maximum(weight, TINY)) - math.log(least)
    low = _crossing(logs[::-1], axis.size - 1 - int(inside[0]))
    high = _crossing(logs, int(inside[-1]))
    return float(axis[-1] - low * step(axis)), float(axis[0] + high * step(axis))


def _crossing(logs: FloatArray, last: int) -> float:
    """Place (in cells) at which `logs` falls through zero after the point `last`, the last one above it."""
    if last + 1 < logs.size:
        return last + max(0.5, float(logs[last] / (logs[last] - logs[last + 1])))
    fall = float(logs[last - 1] - logs[last])
    room = 0.5 * (logs.size - 1)
    return last + (min(room, max(0.5, float(logs[last]) / fall)) if fall > 0.0 else room)


def boxed(axis: FloatArray, marginal: FloatArray, kept: float) -> Interval:
    """The part of an axis where its marginal is above `kept` of its peak."""
    return held(axis, marginal, kept * float(marginal.max()))


def leaned(plane: Plane, joint: FloatArray, kept: float) -> tuple[Interval, float]:
    """Box of the level at the age where it no longer depends on the slope, and that age.

    `joint` is the mass over (slope, level): thin and oblique if the level is taken at an age far from the runs'.
    """
    share = joint / joint.sum()
    slope = plane.slope[:, None]
    from_mean = slope - (share * slope).sum()
    variance = float((share * from_mean * from_mean).sum())
    lean = float((share * from_mean * plane.level).sum()) / variance if variance > 0.0 else 0.0
    least = kept * float(joint.max())
    rows = [
        (lean * at, held(plane.level, row, least))
        for at, row in zip(plane.slope, joint, strict=True)
        if row.max() > least
    ]
    return (min(low - by for by, (low, _) in rows), max(high - by for by, (_, high) in rows)), plane.at_age - lean


def at_edge(weight: FloatArray) -> bool:
    """Whether a marginal at an edge of the lattice is above CUT_OFF of its peak."""
    return any(max(marginal[0], marginal[-1]) > CUT_OFF * marginal.max() for marginal in _marginals(weight))
