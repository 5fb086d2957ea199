"""Runs that have come to differ more from each other than they did: the later half since the service and the earlier."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tracker.core.likelihood import Run
from tracker.core.normal import FloatArray
from tracker.core.reserve import Estimate

PRECISE = 0.05
"""Only a stop known to this share of its length tells of scatter."""
LEAST_EACH = 8
"""So many of them are asked for in each half."""
MOST = 80
"""More are thinned out evenly."""
NOTABLE = 1.6
"""How many times the scatter of the earlier half the later must be."""
BY_CHANCE = 0.005
SHUFFLES = 1000
SIDES = (0.15, 0.85)
"""Scatter is read between these points: a wrong entry or two lie beyond them."""
SIGMAS_BETWEEN = 2.0728667789875787
"""Standard deviations of a normal between those points."""


@dataclass(frozen=True, slots=True)
class ScatterGrown:
    """Scatter (standard deviation of log length) of the earlier and the later stops, and how many tell of it.

    `by_chance` is the share of shuffled halves that differ as much.
    """

    by_chance: float
    earlier: float
    later: float
    stops: int


def scatter_grown(estimate: Estimate, runs: Sequence[Run]) -> ScatterGrown | None:
    """Compare the halves; None where too few stops are known well enough, or they don't differ clearly.

    Each stop is measured from the middle of the reserve at its age. The odds are those of halves shuffled at random.
    """
    off = _thinned(_offsets(estimate, runs))
    half = len(off) // 2
    if half < LEAST_EACH:
        return None
    earlier, later = off[:half] - np.median(off[:half]), off[half:] - np.median(off[half:])
    before, after = _scatter(earlier[None])[0], _scatter(later[None])[0]
    if before <= 0.0 or after < NOTABLE * before:
        return None
    shuffled = np.random.default_rng(0).permuted(np.tile(np.concatenate([earlier, later]), (SHUFFLES, 1)), axis=1)
    as_much = _scatter(shuffled[:, half:]) >= after / before * _scatter(shuffled[:, :half])
    by_chance = (1 + int(as_much.sum())) / (1 + SHUFFLES)
    return ScatterGrown(by_chance, float(before), float(after), len(off)) if by_chance <= BY_CHANCE else None


def _scatter(off: FloatArray) -> FloatArray:
    low, high = np.quantile(off, SIDES, axis=1)
    found: FloatArray = (high - low) / SIGMAS_BETWEEN
    return found


def _thinned(off: FloatArray) -> FloatArray:
    return off if off.size <= MOST else off[np.linspace(0, off.size - 1, MOST).astype(int)]


def _offsets(estimate: Estimate, runs: Sequence[Run]) -> FloatArray:
    """Log length of each precisely known stop less the log of the middle reserve at its age, oldest first."""
    track, scatter = estimate.history, estimate.scatter
    if track is None or scatter is None:
        return np.zeros(0)
    known = sorted((run for run in runs if run.evidence.ended), key=lambda run: run.age_years)
    foreseen = np.log(np.interp([run.age_years for run in known], track.age_years, track.mid))
    found = [_offset(run, at, scatter.mid) for run, at in zip(known, foreseen, strict=True)]
    return np.array([off for off in found if off is not None])


def _offset(run: Run, foreseen: float, scatter: float) -> float | None:
    """Of moments that hands allow, the nearest, if no other could be meant."""
    ways = sorted(
        (abs(math.log((low + high) / 2) - foreseen), low, high) for low, high in run.evidence.spans_h if low + high > 0
    )
    _, low, high = ways[0]
    if high - low > PRECISE * high or any(away < 4.0 * scatter for away, _, _ in ways[1:]):
        return None
    return math.log((low + high) / 2) - foreseen
