"""Simulation-based calibration: watches drawn from the prior itself; where the truth lies in each posterior is uniform.

Talts, Betancourt, Simpson, Vehtari and Gelman, “Validating Bayesian inference algorithms with simulation-based
calibration” (2018). Quantiles of a continuous posterior take the place of ranks among draws.
"""

import math
from itertools import pairwise
from statistics import NormalDist

import numpy as np

from tracker.core import change, evidence, posterior, prior
from tracker.core.evidence import Evidence
from tracker.core.likelihood import ODD_CENTRE, ODD_SHARE, ODD_SPREAD, Run, rows_of
from tracker.core.normal import FloatArray
from tracker.core.spread import Grid
from tracker.core.steady import steady

STATED_H, NOW_YEARS, RUNS, WITHIN_H = 42.0, 3.0, 15, 0.2
BINS = 10
FALL = math.log(0.9)

Ranks = dict[str, float]


def ranks(seed: int, draws: int) -> dict[str, list[float]]:
    """For each parameter the quantile at which its truth lies, draw by draw."""
    chance = np.random.default_rng(seed)
    found = [_one(chance) for _ in range(draws)]
    return {name: [one[name] for one in found] for name in ("c", "b1", "sigma", "reserve now")}


def chi_squared(quantiles: list[float]) -> float:
    """Of the counts in BINS equal bins against an even spread: BINS − 1 degrees of freedom."""
    counts = np.histogram(quantiles, BINS, (0.0, 1.0))[0]
    even = len(quantiles) / BINS
    return float(((counts - even) ** 2).sum() / even)


def p_value(statistic: float) -> float:
    """Chance of a statistic as large, by Wilson and Hilferty's cube root (good to 0.001)."""
    free = BINS - 1
    at = ((statistic / free) ** (1.0 / 3.0) - (1.0 - 2.0 / (9.0 * free))) / math.sqrt(2.0 / (9.0 * free))
    return 1.0 - NormalDist().cdf(at)


def _one(chance: np.random.Generator) -> Ranks:
    c, b1 = chance.normal(prior.CENTRE, prior.SPREAD_STATED), chance.normal(prior.SLOPE_CENTRE, prior.SLOPE_SPREAD)
    sigma = math.exp(chance.normal(prior.SIGMA_CENTRE, prior.SIGMA_SPREAD))
    changes = chance.random() < prior.change_probability(NOW_YEARS)
    change_age = chance.uniform(0.0, NOW_YEARS) if changes else math.inf
    drop = chance.uniform(prior.DROP_LOW, prior.DROP_HIGH)
    runs = []
    for age in chance.uniform(0.0, NOW_YEARS, RUNS):
        clean = c + b1 * age + (drop if age > change_age else 0.0) + sigma * chance.normal()
        log = chance.normal(ODD_CENTRE, ODD_SPREAD) if chance.random() < ODD_SHARE else clean
        runs.append(Run(float(age), _noted(STATED_H * math.exp(log), chance)))
    now = c + b1 * NOW_YEARS + (drop if changes else 0.0)
    return _places(runs, {"c": c, "b1": b1, "sigma": math.log(sigma), "reserve now": now})


def _noted(hours: float, chance: np.random.Generator) -> Evidence:
    """What is noted of a run does not hang on its length, but for the answer to a look at a time chosen before."""
    how, look = chance.integers(4), STATED_H * chance.uniform(0.4, 1.3)
    if how == 0:
        return evidence.exact(hours)
    if how == 1:
        return evidence.at_least(look) if hours > look else evidence.at_most(look)
    if how == 2:
        bounds = (0.0, look, look + 12.0, math.inf)
        low, high = next((low, high) for low, high in pairwise(bounds) if hours < high)
        if high == math.inf:
            return evidence.at_least(low)
        return evidence.between(low, high) if low else evidence.at_most(high)
    read = hours + chance.uniform(-WITHIN_H, WITHIN_H)
    moments = [read + 12.0 * turns for turns in range(-3, 5) if 1.0 < read + 12.0 * turns < 3.0 * STATED_H]
    return Evidence("one_of", tuple((at - WITHIN_H, at + WITHIN_H) for at in moments))


def _places(runs: list[Run], truth: Ranks) -> Ranks:
    """The share of each marginal of the posterior that lies below the truth."""
    belief = prior.prior_for(STATED_H)
    rows = rows_of(runs, belief.scale_h)
    one_side = steady(rows, belief, NOW_YEARS)
    weighed = posterior.weigh(one_side, change.changed(rows, belief, NOW_YEARS, FALL, one_side))
    grid, scattered = posterior.level_now(weighed, NOW_YEARS)
    marginals: dict[str, tuple[Grid, FloatArray]] = {
        "c": posterior.level_at_service(weighed, belief),
        "b1": posterior.slope(weighed),
        "sigma": posterior.log_scatter(weighed),
        "reserve now": (grid, posterior.whatever_scatter(scattered)),
    }
    return {name: _below(*marginals[name], value) for name, value in truth.items()}


def _below(grid: Grid, mass: FloatArray, value: float) -> float:
    rising = np.cumsum(mass)
    return float(np.interp(value, grid.edge, rising / rising[-1], left=0.0))
