"""A reserve that may be one of two: where its distribution stands in humps with next to nothing between them.

Hands twelve hours apart can leave a reserve of 58 or of 70 h, hardly one of 64: then one middle says what nobody believes.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from tracker.core import spread
from tracker.core.normal import FloatArray
from tracker.core.spread import Band, Grid

DIP = 0.35
"""Two humps are told apart if the density between them is below this share of the lower one's top."""
LEAST_SHARE = 0.1
"""A hump with less than this share of the whole is no answer of its own."""


@dataclass(frozen=True, slots=True)
class Peak:
    """One hump: its share of the whole, and the 5, 50 and 95 % points within it (as the grid is given)."""

    share: float
    band: Band


def peaks(grid: Grid, mass: FloatArray) -> tuple[Peak, ...]:
    """Read the humps off a distribution (one row of bins), lowest first; none if it stands in one piece."""
    higher = np.minimum(np.maximum.accumulate(mass), np.maximum.accumulate(mass[::-1])[::-1])
    if not ((mass < DIP * higher) & (higher * mass.size > LEAST_SHARE * mass.sum())).any():
        return ()
    bounds = [0, *_valleys(mass), mass.size]
    parts = [(start, mass[start:end]) for start, end in pairwise(bounds)]
    total = float(mass.sum())
    held = [(start, part) for start, part in parts if part.sum() >= LEAST_SHARE * total]
    if len(held) == 1:
        return ()
    return tuple(Peak(float(part.sum()) / total, _band(grid, start, part)) for start, part in held)


def _valleys(mass: FloatArray) -> list[int]:
    """Lowest bins between humps that are told apart."""
    found: list[int] = []
    top = bottom = 0
    for at in range(mass.size):
        if mass[at] > mass[top] and not _apart(mass, top, bottom, at):
            top = bottom = at
        elif _apart(mass, top, bottom, at):
            found.append(bottom)
            top = bottom = at
        elif mass[at] < mass[bottom]:
            bottom = at
    return found


def _apart(mass: FloatArray, top: int, bottom: int, at: int) -> bool:
    return top < bottom < at and bool(mass[bottom] < DIP * min(mass[top], mass[at]))


def _band(grid: Grid, start: int, part: FloatArray) -> Band:
    own = Grid(grid.centre[start : start + part.size], grid.step)
    return spread.band(own, np.asarray(part))
