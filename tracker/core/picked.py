"""Cells picked in proportion to their mass, at even steps of its running sum: compiled."""

import numpy as np
from numpy.typing import NDArray

from tracker.core.compiled import compiled
from tracker.core.normal import Floats


@compiled
def picked(mass: Floats, count: int, heat: float) -> tuple[NDArray[np.intp], float]:
    """So many cells, ascending, by this power of their mass; and the sum of those powers over all."""
    total = 0.0
    for cell in range(mass.size):
        total += _hot(mass[cell], heat)
    found, rising, cell = np.empty(count, np.intp), 0.0, -1
    for each in range(count):
        bound = total * (each + 0.5) / count
        while rising < bound and cell < mass.size - 1:
            cell += 1
            rising += _hot(mass[cell], heat)
        found[each] = cell
    return found, total


@compiled
def _hot(mass: float, heat: float) -> float:
    return np.float64(mass) if heat == 1.0 else np.float64(mass) ** heat
