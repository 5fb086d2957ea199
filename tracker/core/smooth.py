"""Masses on a fine even grid shared between bins, smeared, and made finer: loops, compiled."""

import math

import numpy as np

from tracker.core.compiled import compiled
from tracker.core.normal import FloatArray


@compiled
def deposited(place: FloatArray, mass: FloatArray, bins: int) -> FloatArray:
    """Share each point's mass between the two nearest of so many bins: `mass` is (row, point), `place` (point) in bins."""
    found = np.zeros((mass.shape[0], bins))
    for point in range(place.size):
        at = min(max(place[point], 0.0), bins - 1.000001)
        below = int(at)
        beyond = at - below
        for row in range(mass.shape[0]):
            found[row, below] += mass[row, point] * (1.0 - beyond)
            found[row, below + 1] += mass[row, point] * beyond
    return found


@compiled
def smeared(mass: FloatArray, low: float, high: float) -> FloatArray:
    """Add an independent uniform(low, high), in bins, to distributions (row, bin); what leaves the grid stays at its ends."""
    bins, per_bin = mass.shape[1], 1.0 / (high - low)
    found, area = np.empty_like(mass), np.empty(bins)
    for row in range(len(mass)):
        below, under = 0.0, 0.0
        for at in range(bins):
            below += mass[row, at]
            area[at] = under + 0.5 * below
            under += below
        rising = np.zeros(bins)
        _add_moved(rising, area, low, below, per_bin)
        _add_moved(rising, area, high, below, -per_bin)
        rising[-1] = below
        before = 0.0
        for at in range(bins):
            found[row, at] = max(rising[at] - before, 0.0)
            before = rising[at]
    return found


@compiled
def _add_moved(found: FloatArray, area: FloatArray, by: float, total: float, times: float) -> None:
    """Add so many times the area moved by a number of bins: zero before it begins, rising by the total after it ends."""
    bins, whole = area.size, math.floor(-by)
    share = -by - whole
    first, last = min(max(-whole, 0), bins), max(min(bins - 1 - whole, bins), 0)
    if 0 < first <= bins and first == -whole:
        found[first - 1] += times * share * area[0]
    if first < last:
        inside, here, beyond = found[first:last], area[first + whole :], area[first + whole + 1 :]
        for at in range(inside.size):
            inside[at] += times * (here[at] * (1.0 - share) + beyond[at] * share)
    for at in range(max(first, last), bins):
        found[at] += times * (area[-1] + total * (at - by - (bins - 1)))


_CUBIC = (-5.0 / 243.0, 60.0 / 243.0, 30.0 / 243.0, -4.0 / 243.0)
"""What a point a third of a cell beyond another takes of the one before it, of it and of the next two."""


@compiled
def thirds(mass: FloatArray) -> FloatArray:
    """Three points for each one along the middle axis (of three), by cubics through four; none is less than nothing."""
    outer, points, inner = mass.shape
    found = np.zeros((outer, 3 * points, inner))
    for i in range(outer):
        for at in range(points):
            before, middle, after = found[i, 3 * at], found[i, 3 * at + 1], found[i, 3 * at + 2]
            _add(middle, mass[i, at], 1.0 / 3.0)
            for by, part in enumerate(_CUBIC):
                if 0 <= at + by - 1 < points:
                    _add(after, mass[i, at + by - 1], part)
                if 0 <= at - by + 1 < points:
                    _add(before, mass[i, at - by + 1], part)
            _raise(before)
            _raise(after)
    return found


@compiled
def _add(found: FloatArray, mass: FloatArray, part: float) -> None:
    for at in range(found.size):
        found[at] += part * mass[at]


@compiled
def _raise(found: FloatArray) -> None:
    for at in range(found.size):
        found[at] = max(found[at], 0.0)
