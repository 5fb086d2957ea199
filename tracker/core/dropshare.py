"""How much of a cell of levels before and after has a drop within some range: compiled."""

import numpy as np

from tracker.core.compiled import compiled
from tracker.core.normal import FloatArray, Floats

ROUNDING = 1e-12
"""A cell with less than this share in the range has none."""


@compiled
def shares(before: FloatArray, after: FloatArray, apart: tuple[float, float], low: float, high: FloatArray) -> Floats:
    """Of each cell that share whose drop lies between `low` and `high` (slope): (slope, level before, level after), in singles.

    `before` and `after` are levels (slope, level) so far `apart`: within a cell both are spread evenly, and the drop is
    the sum of two even ones.
    """
    slopes, befores, afters = before.shape[0], before.shape[1], after.shape[1]
    found = np.empty((slopes, befores, afters), np.float32)
    wide, narrow = apart
    outer, inner = 0.5 * (wide + narrow), 0.5 * (wide - narrow)
    times = 0.5 / (wide * narrow)
    for slope in range(slopes):
        for level in range(befores):
            row, ends = found[slope, level], after[slope]
            for to in range(afters):
                drop = ends[to] - before[slope, level]
                share = _ramp(high[slope] - drop, outer, inner, times) - _ramp(low - drop, outer, inner, times)
                row[to] = share if share > ROUNDING else 0.0
    return found


@compiled
def _ramp(x: float, outer: float, inner: float, times: float) -> float:
    """Cdf of the sum of two independent uniforms about zero, with half the sum and half the difference of their widths."""
    area = max(x + outer, 0.0) ** 2 - max(x + inner, 0.0) ** 2 - max(x - inner, 0.0) ** 2 + max(x - outer, 0.0) ** 2
    return min(max(area * times, 0.0), 1.0)
