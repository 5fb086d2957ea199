"""What the runs before and since each gap say at every point of a pair of lattices, as factors: compiled."""

import math

import numpy as np

from tracker.core.compiled import compiled, two_to
from tracker.core.normal import FloatArray, Floats

_F = np.float32
_BITS = 1.0 / math.log(2.0)
_LIFT = 44.0
"""A factor is held times two to so many, …"""
_LEAST = _F(-63.0 - _LIFT)
"""… and one below two to this power is 0: products of two are then normal singles, or a core takes fifty times as long."""
_TIMES = _F(2.0**_LIFT)
NOTHING = math.log(1e-20)
"""A gap whose fullest cell, for some scatter and slope, holds less than this share of the fullest of all has nothing there."""


@compiled
def factors(
    past: FloatArray, since: FloatArray, log_prior: FloatArray, log_share: FloatArray, heat: float
) -> tuple[Floats, Floats, float]:
    """Raise likelihoods to a power: (scatter, slope, gap, level) of their logs (gap, scatter, slope, level).

    Their product over a gap, times exp of the third value, is what it holds of a cell, with the `log_prior` (scatter,
    slope) and its own `log_share`. In singles: what they can't hold is less than any share that counts.
    """
    gaps, scatters, slopes, befores = past.shape
    tops, later_tops = np.empty((scatters, slopes, gaps)), np.empty((scatters, slopes, gaps))
    log_scale = -1e300
    for gap in range(gaps):
        for scatter in range(scatters):
            for slope in range(slopes):
                later = heat * _highest(since[gap, scatter, slope])
                top = heat * _highest(past[gap, scatter, slope]) + later + log_prior[scatter, slope] + log_share[gap]
                tops[scatter, slope, gap], later_tops[scatter, slope, gap] = top, later
                log_scale = max(log_scale, top)
    before = np.zeros((scatters, slopes, gaps, befores), np.float32)
    after = np.zeros((scatters, slopes, gaps, since.shape[3]), np.float32)
    for scatter in range(scatters):
        for slope in range(slopes):
            for gap in range(gaps):
                if tops[scatter, slope, gap] - log_scale > NOTHING:
                    later = later_tops[scatter, slope, gap]
                    lift = log_prior[scatter, slope] + log_share[gap] + later - log_scale
                    _exp(before[scatter, slope, gap], past[gap, scatter, slope], heat, lift)
                    _exp(after[scatter, slope, gap], since[gap, scatter, slope], heat, -later)
    return before, after, log_scale - 2.0 * _LIFT / _BITS


@compiled
def _highest(logs: FloatArray) -> float:
    highest = logs[0]
    for level in range(1, logs.size):
        highest = max(highest, logs[level])
    return highest  # type: ignore[no-any-return]


@compiled
def _exp(found: Floats, logs: FloatArray, heat: float, lift: float) -> None:
    """The exponential of logs times a heat and a lift, none above 0."""
    times, more = heat * _BITS, lift * _BITS
    for level in range(found.size):
        power = _F(logs[level] * times + more)
        held = two_to(min(max(power, _LEAST), _F(0.0)))
        found[level] = held * _TIMES if power > _LEAST else _F(0.0)
