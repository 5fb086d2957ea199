"""Finding where a posterior's mass lies: tempered passes over a lattice, each axis boxed anew after each pass."""

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from tracker.core.likelihood import Plane
from tracker.core.normal import FloatArray, Floats
from tracker.core.prior import TINY

KEPT_IN_SEARCH = 2e-3
KEPT_AT_LAST = 1e-5
"""A box keeps what is above this share of its marginal's peak."""
CUT_OFF = 0.03
"""A lattice with more than this share of a marginal's peak at its edge is not the last but one."""
MARGIN = 2.0
"""A part of the levels reaches so many cells beyond what is kept, …"""
CUT = 10.0
"""… and none is cut where more is left than so many times the share of the peak above which it is kept."""
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

    def plane(self, shape: tuple[int, int, int], parts: FloatArray | None = None) -> Plane:
        """Lay a lattice of this shape over the box, its edges included; of the levels only those in `parts` (part, two ends)."""
        ends = self.log_sigma, self.slope, self.level
        scatter, slope, level = (np.linspace(*pair, points) for pair, points in zip(ends, shape, strict=True))
        return Plane(scatter, slope, level if parts is None else level[within(level, parts)], self.at_age)


@dataclass(frozen=True, slots=True, eq=False)
class Lie:
    """How a mass lies over a lattice: along each axis its marginal, the points that hold it, and its humps.

    `points` is the effective number of points, given the places on all other axes; where the mass stands in humps, of one
    of them: as told by how alike neighbouring points are. `humps` counts the tops that stand above HUMP of the highest.
    """

    marginals: list[FloatArray]
    points: list[float]
    humps: list[int]

    @property
    def at_edge(self) -> bool:
        """Whether a marginal at an edge of the lattice is above CUT_OFF of its peak."""
        return any(max(marginal[0], marginal[-1]) > CUT_OFF * marginal.max() for marginal in self.marginals)


def lie_of(weight: Floats) -> Lie:
    """How a weight lies over its lattice of any number of axes."""
    from tracker.core import masses  # noqa: PLC0415 -- half a second, and only who estimates needs it

    found, shape = Lie([], [], []), weight.shape
    for axis, size in enumerate(shape):
        turned = weight.reshape(math.prod(shape[:axis]), size, math.prod(shape[axis + 1 :]))
        marginal, whole, alike = masses.along(turned.astype(np.float64, copy=False))
        tops = masses.tops(marginal, HUMP)
        found.marginals.append(marginal)
        found.points.append(min(whole, _points_as_alike(alike)) if tops > 1 else whole)
        found.humps.append(tops)
    return found


def _points_as_alike(alike: float) -> float:
    """Points that hold a normal whose neighbouring points are so alike."""
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
    from tracker.core import masses  # noqa: PLC0415 -- as above

    runs = masses.runs(weight[None], np.zeros(1), least)
    return float(axis[0] + runs.min() * step(axis)), float(axis[0] + runs.max() * step(axis))


def boxed(axis: FloatArray, marginal: FloatArray, kept: float) -> Interval:
    """The part of an axis where its marginal is above `kept` of its peak."""
    return held(axis, marginal, kept * float(marginal.max()))


def leaned(plane: Plane, joint: FloatArray, kept: float) -> tuple[Interval, float]:
    """Box of the level at the age where it no longer depends on the slope, and that age.

    `joint` is the mass over (slope, level): thin and oblique if the level is taken at an age far from the runs'.
    """
    from tracker.core import masses  # noqa: PLC0415 -- as above

    lean, cell = masses.lean(joint, plane.slope, plane.level), plane.cell
    runs = masses.runs(joint, lean / cell * plane.slope, kept * float(joint.max()))
    first = float(plane.level[0])
    return (first + float(runs.min()) * cell, first + float(runs.max()) * cell), plane.at_age - lean


def parts(plane: Plane, joint: FloatArray, kept: float, at_age: float) -> FloatArray:
    """Where the level lies, taken at an age, as far as a mass over (slope, level) is above `kept` of its peak: (part, two ends).

    Each part reaches MARGIN further than that, for slopes between those of the lattice.
    """
    from tracker.core import masses  # noqa: PLC0415 -- as above

    moved = (plane.at_age - at_age) / plane.cell * plane.slope
    low, high = masses.runs(joint, moved, kept * float(joint.max())).T
    order = np.argsort(low)
    low, high = low[order] - MARGIN, np.maximum.accumulate(high[order]) + MARGIN
    first = np.append(True, low[1:] > high[:-1])
    ends = np.stack([low[first], high[np.append(first[1:], True)]], axis=1)
    found: FloatArray = plane.level[0] + ends * plane.cell
    return found


def within(level: FloatArray, parts: FloatArray) -> NDArray[np.bool_]:
    """Which of some levels lie in one of the parts."""
    inside: NDArray[np.bool_] = np.any((parts[:, :1] <= level) & (level <= parts[:, 1:]), axis=0)
    return inside


def cut(plane: Plane, marginal: FloatArray, kept: float) -> bool:
    """Whether, where levels beyond are left out, much more is left of the level's marginal than `kept` of its peak."""
    edges = [place for before, after in pairwise(plane.parts) for place in (before.stop - 1, after.start)]
    return bool((marginal[edges] > CUT * kept * marginal.max()).any())
