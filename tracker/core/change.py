"""The posterior where the reserve dropped suddenly between two runs: every gap between distinct ages is a candidate.

No fourth axis is needed for the gap: sums of the runs' log-likelihood up to a gap and from it on are taken in order of
age, over a lattice of the level before and one of the level after, which share scatter and slope.
"""

from dataclasses import dataclass

import numpy as np

from tracker.core import lattice
from tracker.core import prior as belief
from tracker.core.lattice import Box
from tracker.core.likelihood import Plane, Rows, log_likelihood
from tracker.core.normal import FloatArray
from tracker.core.steady import first_box, scatter_and_slope

SEARCH = (6, 7, 20, 28)
FINE = (9, 13, 36, 52)
"""Lattice points along scatter, slope, level before, level after: while the boxes are sought, and at last."""
NEGLIGIBLE = 1e-8
"""A gap with less than this share of the (tempered) mass is not looked at again."""


@dataclass(frozen=True, slots=True, eq=False)
class Changed:
    """Masses over (scatter, slope, level before, level after), not normalised: times exp(log_scale) an evidence.

    `fallen` is the part whose reserve has fallen below the threshold by now.
    """

    before: Plane
    after: Plane
    mass: FloatArray
    fallen: float
    log_scale: float


@dataclass(frozen=True, slots=True, eq=False)
class _Gaps:
    """Candidate gaps: the age of the run before each, and the log prior probability that the change lies in it."""

    after_age: FloatArray
    log_share: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class _Pair:
    """The two planes, and over them the log-likelihood of the runs before and after each gap."""

    before: Plane
    after: Plane
    past: FloatArray
    since: FloatArray
    log_prior: FloatArray
    share_of_cell: FloatArray


def changed(rows: Rows, prior: belief.Prior, now_years: float, fall: float) -> Changed | None:
    """Integrate over every gap between two distinct ages; None where there is no such gap.

    `fall` is the change of log reserve (negative) that counts as fallen by `now_years`.
    """
    if rows.ages.size < 2 or now_years <= 0.0:  # noqa: PLR2004 (a gap lies between two)
        return None
    share = belief.change_probability(now_years) * np.diff(rows.ages) / now_years
    gaps = _Gaps(rows.ages[:-1], np.log(share))
    boxes, heat = (first_box(rows, prior),) * 2, lattice.COOLEST
    for _ in range(lattice.MOST_PASSES):
        pair = _pair(rows, prior, gaps, boxes, SEARCH)
        heat, mass = _tempered(pair, gaps, heat)
        done = heat == 1.0 and not lattice.at_edge(mass, lattice.KEPT_IN_SEARCH)
        boxes = _reboxed(pair, mass, lattice.KEPT_AT_LAST if done else lattice.KEPT_IN_SEARCH)
        gaps = _worth(pair, gaps, heat)
        if done:
            break
    return _total(_pair(rows, prior, gaps, boxes, FINE), gaps, now_years, fall)


def _pair(
    rows: Rows, prior: belief.Prior, gaps: _Gaps, boxes: tuple[Box, Box], shape: tuple[int, int, int, int]
) -> _Pair:
    before, after = boxes[0].plane(shape[:3]), boxes[1].plane((*shape[:2], shape[3]))
    past = np.cumsum(log_likelihood(rows, before, gaps.after_age)[:-1], axis=0)
    since = np.cumsum(log_likelihood(rows, after, gaps.after_age)[:0:-1], axis=0)[::-1]
    log_prior = scatter_and_slope(before) + belief.log_normal_density(before.level_at(0.0), belief.CENTRE, prior.spread)
    return _Pair(before, after, past, since, log_prior, drop_share(before, after, belief.DROP_HIGH))


def drop_share(before: Plane, after: Plane, drop_high: FloatArray | float) -> FloatArray:
    """Density of the drop (per unit of log hours) times the share of each cell whose drop lies in its range.

    An array (slope, level before, level after); `drop_high`, a number or one per slope, cuts the range further.
    """
    drop = after.level_at(0.0)[:, None, :] - before.level_at(0.0)[:, :, None]
    wide, narrow = lattice.step(before.level), lattice.step(after.level)
    top = np.broadcast_to(np.clip(drop_high, belief.DROP_LOW, belief.DROP_HIGH), before.slope.shape)
    share = _ramp(top[:, None, None] - drop, wide, narrow) - _ramp(belief.DROP_LOW - drop, wide, narrow)
    return share / (belief.DROP_HIGH - belief.DROP_LOW)


def _ramp(x: FloatArray, first: float, second: float) -> FloatArray:
    """Cdf of the sum of two independent uniforms of these widths about zero."""
    outer, inner = (first + second) / 2.0, (first - second) / 2.0
    bends = ((outer, 1.0), (inner, -1.0), (-inner, -1.0), (-outer, 1.0))
    area = sum(sign * np.square(np.maximum(x + place, 0.0)) for place, sign in bends) / (2.0 * first * second)
    return np.clip(area, 0.0, 1.0)


def _weights(pair: _Pair, gaps: _Gaps, heat: float) -> tuple[FloatArray, FloatArray, float]:
    """Past (gap, scatter, slope, level) with all factors but the window, since (gap, …), and the log scale taken off."""
    past, since = heat * pair.past, heat * pair.since
    peaks = past.max(axis=3), since.max(axis=3)
    height = peaks[0] + peaks[1] + gaps.log_share[:, None, None] + pair.log_prior.max(axis=2)
    scale = float(height.max())
    lift = gaps.log_share[:, None, None] + peaks[1] - scale
    past += pair.log_prior + lift[:, :, :, None]
    since -= peaks[1][:, :, :, None]
    return np.exp(past, out=past), np.exp(since, out=since), scale


def _mass(pair: _Pair, past: FloatArray, since: FloatArray) -> FloatArray:
    """Sum over the gaps, window included: (scatter, slope, level before, level after)."""
    joint: FloatArray = np.matmul(past.transpose(1, 2, 3, 0), since.transpose(1, 2, 0, 3))
    joint *= pair.share_of_cell
    return joint


def _tempered(pair: _Pair, gaps: _Gaps, last: float) -> tuple[float, FloatArray]:
    heat = 1.0
    while True:
        past, since, _ = _weights(pair, gaps, heat)
        mass = _mass(pair, past, since)
        if heat <= 2.0 * last or (mass.any() and lattice.points_used(mass) >= lattice.LEAST_POINTS):
            return heat, mass
        heat *= lattice.COOLER


def _reboxed(pair: _Pair, mass: FloatArray, kept: float) -> tuple[Box, Box]:
    scatter = lattice.boxed(pair.before.log_sigma, mass.sum((1, 2, 3)), kept)
    slope = lattice.boxed(pair.before.slope, mass.sum((0, 2, 3)), kept)
    before, after = (
        lattice.leaned(plane, mass.sum(axes), kept) for plane, axes in ((pair.before, (0, 3)), (pair.after, (0, 2)))
    )
    return Box(scatter, slope, *before), Box(scatter, slope, *after)


def _worth(pair: _Pair, gaps: _Gaps, heat: float) -> _Gaps:
    """The gaps that hold a noticeable share of the mass; the runs between two of them then count together."""
    past, since, _ = _weights(pair, gaps, heat)
    seen = np.einsum("ksbv,buv->ksbu", since, pair.share_of_cell, optimize=True)
    share = (seen * past).sum((1, 2, 3))
    worth = share > NEGLIGIBLE * share.sum()
    return _Gaps(gaps.after_age[worth], gaps.log_share[worth])


def _total(pair: _Pair, gaps: _Gaps, now_years: float, fall: float) -> Changed:
    past, since, scale = _weights(pair, gaps, 1.0)
    joint = np.matmul(past.transpose(1, 2, 3, 0), since.transpose(1, 2, 0, 3))
    axes = pair.before.log_sigma, pair.before.slope, pair.before.level, pair.after.level
    joint *= np.prod([lattice.step(axis) for axis in axes])
    steep = drop_share(pair.before, pair.after, fall - pair.before.slope * now_years)
    fallen = float((joint.sum(0) * steep).sum())
    joint *= pair.share_of_cell
    return Changed(pair.before, pair.after, joint, fallen, scale)
