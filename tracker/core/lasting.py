"""By when a clean next run has ended, of gradual change alone and roughly: a long log asks for it a dozen times."""

import math
from collections.abc import Sequence

import numpy as np

from tracker.core import normal
from tracker.core.likelihood import Run, rows_of
from tracker.core.prior import Prior
from tracker.core.steady import roughly

NOTHING = 1e-6
"""A cell with less than this share of the fullest one's mass is left out."""
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
    held = weight > NOTHING * weight.max()
    mass = weight[held] / weight[held].sum()
    level = np.broadcast_to(plane.level_at(now_years), plane.shape)[held]
    scatter = np.broadcast_to(np.exp(plane.log_sigma)[:, None, None], plane.shape)[held]
    mean = float(mass @ level)
    reach = FAR * math.sqrt(float(mass @ (np.square(level - mean) + np.square(scatter))))
    asked = np.array(risks)
    low, high = np.full(asked.size, mean - reach), np.full(asked.size, mean + reach)
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        short = normal.cdf((middle[:, None] - level) / scatter) @ mass < asked
        low, high = np.where(short, middle, low), np.where(short, high, middle)
    return tuple(prior.scale_h * math.exp(point) for point in high)
