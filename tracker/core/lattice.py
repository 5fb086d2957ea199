"""Finding where a posterior's mass lies: tempered passes over a lattice, each axis boxed anew after each pass."""

from dataclasses import dataclass

import numpy as np

from tracker.core.likelihood import Plane
from tracker.core.normal import FloatArray

KEPT_IN_SEARCH = 2e-3
KEPT_AT_LAST = 1e-5
"""A box keeps what is above this share of its marginal's peak."""
MOST_PASSES = 24
LEAST_POINTS = 1.3
"""Points that must share a posterior's mass along each axis (one per 2.7 sd), else it is tempered further."""
COOLER = 0.5
COOLEST = 2.0**-20

Interval = tuple[float, float]


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


def points_used(weight: FloatArray) -> float:
    """Effective number of points along the axis on which the mass is held by fewest, given all others."""
    fewest = np.inf
    for axis in range(weight.ndim):
        mass, square = weight.sum(axis), (weight * weight).sum(axis)
        used = np.divide(mass**3, square, out=np.zeros_like(mass), where=square > 0.0)
        fewest = min(fewest, float(used.sum() / mass.sum()))
    return fewest


def step(axis: FloatArray) -> float:
    """Spacing of an evenly spaced axis."""
    return float(axis[-1] - axis[0]) / (axis.size - 1)


def boxed(axis: FloatArray, marginal: FloatArray, kept: float) -> Interval:
    """The part of an axis that holds the mass, with a cell of margin; where mass lies at an edge, half a width more."""
    inside = np.flatnonzero(marginal > kept * marginal.max())
    first, last = int(inside[0]), int(inside[-1])
    room, cell = 0.5 * (axis[-1] - axis[0]), step(axis)
    low = axis[first] - (room if first == 0 else cell)
    high = axis[last] + (room if last == axis.size - 1 else cell)
    return float(low), float(high)


def leaned(plane: Plane, joint: FloatArray, kept: float) -> tuple[Interval, float]:
    """Box of the level at the age where it no longer depends on the slope, and that age.

    `joint` is the mass over (slope, level): thin and oblique if the level is taken at an age far from the runs'.
    """
    share = joint / joint.sum()
    slope = plane.slope[:, None]
    from_mean = slope - (share * slope).sum()
    variance = float((share * from_mean * from_mean).sum())
    lean = float((share * from_mean * plane.level).sum()) / variance if variance > 0.0 else 0.0
    inside = joint > kept * joint.max()
    held = (plane.level - lean * slope)[inside]
    room, cell = 0.5 * (plane.level[-1] - plane.level[0]), step(plane.level)
    low = held.min() - (room if inside[:, 0].any() else cell)
    high = held.max() + (room if inside[:, -1].any() else cell)
    return (float(low), float(high)), plane.at_age - lean


def at_edge(weight: FloatArray, kept: float) -> bool:
    """Whether mass above `kept` of its marginal's peak touches an edge of the lattice."""
    for axis in range(weight.ndim):
        marginal = weight.sum(tuple(other for other in range(weight.ndim) if other != axis))
        if max(marginal[0], marginal[-1]) > kept * marginal.max():
            return True
    return False
