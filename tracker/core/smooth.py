"""Masses on a fine even grid shared between bins, smeared, and made finer: loops, compiled."""

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
    bins, wide = mass.shape[1], high - low
    found, area = np.empty_like(mass), np.empty(bins)
    for row in range(mass.shape[0]):
        below, under = 0.0, 0.0
        for at in range(bins):
            below += mass[row, at]
            area[at] = under + 0.5 * below
            under += below
        before = 0.0
        for at in range(bins):
            here = below if at == bins - 1 else (_up_to(area, below, at - low) - _up_to(area, below, at - high)) / wide
            found[row, at] = max(here - before, 0.0)
            before = here
    return found


@compiled
def _up_to(area: FloatArray, total: float, place: float) -> float:
    """The area at a place between bins: zero before they begin, rising by the total after they end."""
    last = area.size - 1
    if place >= last:
        return area[last] + total * (place - last)  # type: ignore[no-any-return]
    if place <= -1.0:
        return 0.0
    at = int(place + 1.0) - 1
    share = place - at
    return (area[at] if at >= 0 else 0.0) * (1.0 - share) + area[at + 1] * share  # type: ignore[no-any-return]


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
