"""How much of the reserve is lost since the service, whether it is below what its owner wants, and when it will be."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from tracker.core.paths import Passing, Paths, passing
from tracker.core.spread import Band

_QUANTILES = (0.05, 0.5, 0.95)


@dataclass(frozen=True, slots=True)
class Fallen:
    """What is lost by now, and the owner's own bound.

    `lost` is the share of the reserve after service that is gone (0.12: 12 %; negative where it has gained): 5, 50,
    95 % points. `twice_probability` is that it has lost twice the threshold. `below_probability` is that it is below the
    owner's least reserve now, `below_years` the ages by which it was or will be, `below_chance` how likely it is
    within FORECAST_YEARS; all of them nothing without such a bound.
    """

    lost: Band
    twice_probability: float
    below_probability: float = 0.0
    below_years: Passing | None = None
    below_chance: float = 0.0


def fallen(paths: Paths, now_years: float, threshold: float, least_ratio: float | None = None) -> Fallen:
    """Read it off equally likely courses, at `now_years` since the service.

    Args:
        paths: the courses.
        now_years: the age asked about.
        threshold: the share whose loss counts as a fall.
        least_ratio: the owner's least reserve over the prior's scale.
    """
    level = paths.level_at(now_years)
    fall = level - paths.level
    lost = Band(*(float(-np.expm1(point)) for point in np.quantile(fall, _QUANTILES)[::-1]))
    twice = float(np.mean(fall <= math.log1p(-2.0 * threshold)))
    if least_ratio is None:
        return Fallen(lost, twice)
    least = math.log(least_ratio)
    chance, years = passing(paths, least - paths.level, now_years)
    return Fallen(lost, twice, float(np.mean(level < least)), years, chance)


def fallen_from(stored: Mapping[str, Any]) -> Fallen:
    """Read back the plain values of one."""
    years = stored["below_years"] and Passing(**stored["below_years"])
    return Fallen(**{**stored, "lost": Band(**stored["lost"]), "below_years": years})
