"""Courses weighed anew: how likely runs are under each of them, and what they say of the reserve if not all count alike."""

from collections.abc import Sequence

import numpy as np

from tracker.core import normal
from tracker.core.normal import FloatArray
from tracker.core.paths import Paths
from tracker.core.rows import FLOOR, ODD_SHARE, Rows, Run, rows_of
from tracker.core.spread import Band

_POINTS = np.array([0.05, 0.5, 0.95])


def log_likelihood(paths: Paths, runs: Sequence[Run], scale_h: float) -> FloatArray:
    """Log-likelihood of these runs together under each course, as of tracker.core.likelihood."""
    total, rows = np.zeros(paths.level.size), rows_of(runs, scale_h)
    for row in range(rows.age.size):
        odd = max(ODD_SHARE * float(rows.odd[row]), FLOOR)
        total += rows.weight[row] * np.log((1.0 - ODD_SHARE) * np.maximum(_clean(paths, rows, row), 0.0) + odd)
    return total


def _clean(paths: Paths, rows: Rows, row: int) -> FloatArray:
    """The probability of what a row says if it is what the log says."""
    sigma, level = np.exp(paths.log_sigma), paths.level_at(float(rows.age[row]))
    told = slice(rows.first[row], rows.until[row])
    edge, sign, half = (each[told, None] for each in (rows.edge, rows.sign, 0.5 * rows.width))
    if not rows.moments[row]:
        clean: FloatArray = rows.sure[row] + (sign * normal.cdf((edge - level) / sigma)).sum(0)
    elif half.any():
        held = normal.cdf((edge + half - level) / sigma) - normal.cdf((edge - half - level) / sigma)
        clean = (sign * held).sum(0)
    else:
        clean = normal.pdf((edge[0] - level) / sigma) / sigma
    return clean


def weights(log_weight: FloatArray) -> FloatArray:
    """Weights that sum to one."""
    weight: FloatArray = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    return weight


def least_in_tail(values: FloatArray, weight: FloatArray) -> float:
    """How many courses of equal weight would say as much of the thinner tail, beyond the 5 or the 95 % point."""
    ordered = weight[np.argsort(values)]
    rising = np.cumsum(ordered)
    tails = ordered[rising < _POINTS[0]], ordered[rising > _POINTS[2]]
    return min(float(tail.sum() ** 2 / np.square(tail).sum()) if tail.any() else 0.0 for tail in tails)


def band(values: FloatArray, weight: FloatArray) -> Band:
    """The 5, 50 and 95 % points of weighted values."""
    order = np.argsort(values)
    rising = np.cumsum(weight[order])
    low, mid, high = np.interp(_POINTS, rising - 0.5 * weight[order], values[order])
    return Band(float(low), float(mid), float(high))
