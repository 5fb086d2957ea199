"""By when a clean next run has ended, of gradual change alone and roughly: a long log asks for it a dozen times."""

import math
from collections.abc import Sequence

import numpy as np

from tracker.core.compiled import compiled
from tracker.core.likelihood import Run, rows_of
from tracker.core.mixture import add_cdf
from tracker.core.normal import FloatArray
from tracker.core.prior import Prior
from tracker.core.steady import roughly

FAR = 9.0
"""So many of its standard deviations from its mean nothing of a next run is left."""
HALVINGS = 24
"""Between two such hours the point is right to less than a millionth of a standard deviation."""


def ended_by(runs: Sequence[Run], prior: Prior, now_years: float, risks: Sequence[float]) -> tuple[float, ...]:
    """The hours by which a next run has ended with each of these probabilities. No run may be older than `now_years`.

    Off those that tracker.core.reserve foretells, with no sudden change, by about a fiftieth of what lies between its 2 and
    97.5 % points at most.
    """
    plane, weight = roughly(rows_of(runs, prior.scale_h), prior)
    mass, level, scatter = weight / weight.sum(), plane.level_at(now_years), np.exp(plane.log_sigma)
    of_level, of_scatter = mass.sum(0), mass.sum((1, 2))
    mean = float((of_level * level).sum())
    reach = FAR * math.sqrt(float((of_level * np.square(level - mean)).sum() + of_scatter @ np.square(scatter)))
    ends = mean - reach, mean + reach
    return tuple(prior.scale_h * math.exp(_point(risk, ends, mass, level, scatter)) for risk in risks)


@compiled
def _point(risk: float, ends: tuple[float, float], mass: FloatArray, level: FloatArray, scatter: FloatArray) -> float:
    """Below which point between the two ends so much lies of normals about levels (slope, level), mixed by their mass."""
    low, high = ends
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        if _below(middle, mass, level, scatter) < risk:
            low = middle
        else:
            high = middle
    return high


@compiled
def _below(point: float, mass: FloatArray, level: FloatArray, scatter: FloatArray) -> float:
    total, clean = 0.0, np.empty(level.shape[1], np.float32)
    cell = (level[0, -1] - level[0, 0]) / (level.shape[1] - 1)
    for i in range(scatter.size):
        for j in range(len(level)):
            clean[:] = 0.0
            add_cdf(clean, (point - level[j, 0]) / scatter[i], cell / scatter[i], 1.0)
            for k in range(clean.size):
                total += mass[i, j, k] * clean[k]
    return total
