"""What is believed of a reserve before the first run: the constants of the model, in one place."""

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from tracker.core import normal
from tracker.core.normal import FloatArray
from tracker.core.watch import CLASS_RESERVE_H, ReserveClass

CENTRE = -0.02
SPREAD_STATED = 0.12
SPREAD_CLASS = 0.25
SPREAD_NONE = 0.35
SCALE_NONE_H = 42.0
SLOPE_CENTRE = -0.01
SLOPE_SPREAD = 0.04
SIGMA_CENTRE = math.log(0.04)
SIGMA_SPREAD = 0.5
CHANGES_PER_YEAR = 0.03
DROP_LOW = -0.6
DROP_HIGH = -0.1
"""The prior, all from memory and common practice. x = log(T / scale), age a in years since the last service:

x ~ Normal(c + b1·a + d·[a > change], sigma)

| constants | parameter | prior | why |
|---|---|---|---|
| CENTRE, SPREAD_… | c | N(−0.02, 0.12²) | makers state a nominal figure; watches differ by some 10 % |
| SPREAD_CLASS, SPREAD_NONE | c | sd 0.25; 0.35 | only a class of reserve is known; not even that (42 h) |
| SLOPE_… | b1 per year | N(−0.01, 0.04²) | oils age; a few per cent a year at most, mostly down |
| SIGMA_… | log sigma | N(log 0.04, 0.5²) | a watch repeats within some per cent; never flat |
| CHANGES_PER_YEAR | change | with probability 1 − exp(−0.03·age) one, uniform in (0, age) | bridle, spring, coil |
| DROP_… | d | uniform(−0.6, −0.1) | a drop smaller than that is gradual |
"""

TINY = 1e-300
"""Stands for a density of zero where a logarithm is taken."""


@dataclass(frozen=True, slots=True)
class Prior:
    """Where the estimate starts: hours that log T is measured against, sd of c, and where the hours come from."""

    scale_h: float
    spread: float
    source: Literal["stated", "class", "none"]


def prior_for(stated_h: float | None, reserve_class: ReserveClass | None = None) -> Prior:
    """Choose the prior: the maker's figure if there is one, else the class of reserve, else a day or two with doubt."""
    if stated_h is not None:
        return Prior(stated_h, SPREAD_STATED, "stated")
    if reserve_class is not None:
        return Prior(CLASS_RESERVE_H[reserve_class], SPREAD_CLASS, "class")
    return Prior(SCALE_NONE_H, SPREAD_NONE, "none")


def change_probability(now_years: float) -> float:
    """Probability that the reserve has dropped suddenly by this age, before anything is noted."""
    return -math.expm1(-CHANGES_PER_YEAR * now_years)


def log_normal_density(x: FloatArray, centre: float, spread: float) -> FloatArray:
    """Log density of Normal(centre, spread) at `x`."""
    density: FloatArray = -0.5 * ((x - centre) / spread) ** 2 - math.log(spread * math.sqrt(2.0 * math.pi))
    return density


def dropped_level_density(level: FloatArray, spread: float, drop_high: FloatArray | float = DROP_HIGH) -> FloatArray:
    """Density of c + d at `level`, counting only drops d up to `drop_high` (DROP_HIGH or less: a steeper fall)."""
    top = np.clip(drop_high, DROP_LOW, DROP_HIGH)
    upper, lower = ((level - drop - CENTRE) / spread for drop in (DROP_LOW, top))
    density: FloatArray = (normal.cdf(upper) - normal.cdf(lower)) / (DROP_HIGH - DROP_LOW)
    return np.maximum(density, 0.0)
