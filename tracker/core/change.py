"""The posterior where the reserve dropped suddenly between two runs: every gap between distinct ages is a candidate.

No fourth axis is needed for the gap: sums of the runs' log-likelihood up to a gap and from it on are taken in order of
age, over a lattice of the level before and one of the level after, which share scatter and slope.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tracker.core import lattice
from tracker.core import prior as belief
from tracker.core.lattice import Box
from tracker.core.likelihood import MONTH_YEARS, Plane, Rows, log_likelihood
from tracker.core.normal import FloatArray
from tracker.core.steady import Steady, first_box, scatter_and_slope

SEARCH = (6, 7, 20, 28)
"""Lattice points along scatter, slope, level before, level after while the boxes are sought."""
PER_SD = (0.9, 1.6, 2.0, 2.0)
"""At last, points along each of them on a standard deviation …"""
PER_SD_UNLIKELY = (0.7, 0.8, 1.0, 1.0)
"""… and where such a change is less likely than UNLIKELY, so that its shape hardly matters."""
UNLIKELY = 0.004
NEGLIGIBLE = 1e-6
"""If all gaps together hold less than this share of the posterior they are left out."""
NEGLIGIBLE_GAP = 1e-9
"""So is, while the boxes are sought, a gap with less than this share of what the fullest gap holds."""
MANY = 3
"""With this many gaps to a month, those of a month are one at first."""
MOST_HEATING = 8.0
"""Heat to try first, as a multiple of the last pass's; in the first pass as many runs' worth."""
ROUNDING = 1e-12
"""A cell with less than this share in the window has none."""
WARM = 0.2
"""Heat from which on gaps are left out: before, the likelihood has not spoken clearly."""


@dataclass(frozen=True, slots=True, eq=False)
class Gaps:
    """Candidate gaps: the ages of the runs on either side, and the log prior probability that the change lies in it."""

    after_age: FloatArray
    until_age: FloatArray
    log_share: FloatArray

    def only(self, kept: NDArray[np.bool_]) -> "Gaps":
        """Some of them."""
        return Gaps(self.after_age[kept], self.until_age[kept], self.log_share[kept])

    def by_month(self) -> "Gaps":
        """The gaps that begin in one month as one, after its first run: enough to find where the mass lies."""
        _, first = np.unique(np.floor(self.after_age / MONTH_YEARS), return_index=True)
        until = np.append(self.until_age[first[1:] - 1], self.until_age[-1:])
        return Gaps(self.after_age[first], until, np.logaddexp.reduceat(self.log_share, first))

    def within(self, others: "Gaps") -> "Gaps":
        """Those that lie in one of the `others` (ascending, apart)."""
        place = np.searchsorted(others.after_age, self.after_age, side="right") - 1
        return self.only((place >= 0) & (self.until_age <= others.until_age[place]))


@dataclass(frozen=True, slots=True, eq=False)
class Changed:
    """Masses over (scatter, slope, level before, level after), not normalised: times exp(log_scale) an evidence.

    `fallen` is the part whose reserve has fallen below the threshold by now. A cell's mass is in a gap as its `past`
    times its `since` there: arrays over (gap, scatter, slope, level before or after).
    """

    before: Plane
    after: Plane
    mass: FloatArray
    fallen: float
    log_scale: float
    gaps: Gaps
    by_gap: FloatArray
    past: FloatArray
    since: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class _Pair:
    """The two planes, and over them the log-likelihood of the runs before (with the level's prior) and after each gap."""

    before: Plane
    after: Plane
    past: FloatArray
    since: FloatArray
    log_prior: FloatArray
    share_of_cell: FloatArray

    @property
    def axes(self) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
        """Scatter, slope, level before, level after."""
        return self.before.log_sigma, self.before.slope, self.before.level, self.after.level

    @property
    def cell(self) -> float:
        """Volume of a cell of the lattice."""
        return math.prod(lattice.step(axis) for axis in self.axes)


@dataclass(frozen=True, slots=True, eq=False)
class _Weighed:
    """A pair of planes at some heat: factors before and since each gap, and their sum of products in the window."""

    heat: float
    past: FloatArray
    since: FloatArray
    mass: FloatArray
    log_scale: float


def changed(rows: Rows, prior: belief.Prior, now_years: float, fall: float, rival: Steady) -> Changed | None:
    """Integrate over every gap between two distinct ages; None where there is no such gap, or next to no chance of it.

    `fall` is the change of log reserve (negative) that counts as fallen by `now_years`; `rival` is the posterior
    without a change between runs, on the same runs.
    """
    if rows.ages.size < 2 or now_years <= 0.0:  # noqa: PLR2004 (a gap lies between two)
        return None
    share = belief.change_probability(now_years) * np.diff(rows.ages) / now_years
    every = Gaps(rows.ages[:-1], rows.ages[1:], np.log(np.maximum(share, belief.TINY))).only(share > 0.0)
    gaps = every.by_month()
    fine = MANY * gaps.log_share.size > every.log_share.size
    gaps = every if fine else gaps
    boxes, heat, hottest = (first_box(rows, prior),) * 2, lattice.COOLEST, MOST_HEATING / rows.ages.size
    for _ in range(lattice.MOST_PASSES):
        pair = _pair(rows, prior, gaps, boxes, SEARCH)
        found = _tempered(pair, gaps, heat, hottest)
        heat, hottest = found.heat, MOST_HEATING * found.heat
        settled = heat == 1.0 and not lattice.at_edge(found.mass)
        boxes = _reboxed(pair, found.mass, lattice.KEPT_AT_LAST if settled and fine else lattice.KEPT_IN_SEARCH)
        if settled and fine:
            break
        if heat >= WARM:
            gaps = _worth(pair, gaps, found, NEGLIGIBLE_GAP)
        if settled:
            gaps, fine = every.within(gaps), True
    chance = _chance(pair, found, rival)
    if chance < NEGLIGIBLE:
        return None
    gaps = _worth(pair, gaps, found, min(0.1, NEGLIGIBLE / chance))
    shape = _shape(pair, found.mass, boxes, PER_SD if chance > UNLIKELY else PER_SD_UNLIKELY)
    return _total(_pair(rows, prior, gaps, boxes, shape), gaps, now_years, fall)


def _chance(pair: _Pair, found: _Weighed, rival: Steady) -> float:
    """Posterior probability of a change between two runs."""
    own = found.log_scale + math.log(float(found.mass.sum()) * pair.cell)
    return 1.0 / (1.0 + math.exp(min(700.0, rival.log_scale + math.log(rival.total) - own)))


def _pair(
    rows: Rows, prior: belief.Prior, gaps: Gaps, boxes: tuple[Box, Box], shape: tuple[int, int, int, int]
) -> _Pair:
    before, after = boxes[0].plane(shape[:3]), boxes[1].plane((*shape[:2], shape[3]))
    past = np.cumsum(log_likelihood(rows, before, gaps.after_age)[:-1], axis=0)
    since = np.cumsum(log_likelihood(rows, after, gaps.after_age)[:0:-1], axis=0)[::-1]
    past += belief.log_normal_density(before.level_at(0.0), belief.CENTRE, prior.spread)
    return _Pair(before, after, past, since, scatter_and_slope(before), drop_share(before, after, belief.DROP_HIGH))


def drop_share(before: Plane, after: Plane, drop_high: FloatArray | float) -> FloatArray:
    """Density of the drop (per unit of log hours) times the share of each cell whose drop lies in its range.

    An array (slope, level before, level after); `drop_high`, a number or one per slope, cuts the range further.
    """
    drop = after.level_at(0.0)[:, None, :] - before.level_at(0.0)[:, :, None]
    wide, narrow = lattice.step(before.level), lattice.step(after.level)
    top = np.broadcast_to(np.clip(drop_high, belief.DROP_LOW, belief.DROP_HIGH), before.slope.shape)
    share = _ramp(top[:, None, None] - drop, wide, narrow) - _ramp(belief.DROP_LOW - drop, wide, narrow)
    return np.where(share > ROUNDING, share, 0.0) / (belief.DROP_HIGH - belief.DROP_LOW)


def _ramp(x: FloatArray, first: float, second: float) -> FloatArray:
    """Cdf of the sum of two independent uniforms of these widths about zero."""
    outer, inner = (first + second) / 2.0, (first - second) / 2.0
    bends = ((outer, 1.0), (inner, -1.0), (-inner, -1.0), (-outer, 1.0))
    area = sum(sign * np.square(np.maximum(x + place, 0.0)) for place, sign in bends) / (2.0 * first * second)
    return np.clip(area, 0.0, 1.0)


def _weighed(pair: _Pair, gaps: Gaps, heat: float) -> _Weighed:
    """Raise the likelihood to a power and sum over the gaps; each (gap, scatter, slope) is scaled by its own peaks."""
    past, since = heat * pair.past, heat * pair.since
    peaks = past.max(axis=3), since.max(axis=3)
    lift = gaps.log_share[:, None, None] + peaks[1]
    log_scale = float((lift + peaks[0] + pair.log_prior.max(axis=2)).max())
    past += pair.log_prior + (lift - log_scale)[:, :, :, None]
    since -= peaks[1][:, :, :, None]
    np.exp(past, out=past)
    np.exp(since, out=since)
    mass: FloatArray = np.matmul(past.transpose(1, 2, 3, 0), since.transpose(1, 2, 0, 3))
    return _Weighed(heat, past, since, mass * pair.share_of_cell, log_scale)


def _tempered(pair: _Pair, gaps: Gaps, last: float, hottest: float) -> _Weighed:
    """The hottest sum that enough points of the lattice can hold, at least twice as hot as the `last`."""
    heat = min(1.0, hottest)
    while True:
        found = _weighed(pair, gaps, heat)
        if found.mass.any() and (heat <= 2.0 * last or min(lattice.points_used(found.mass)) >= lattice.LEAST_POINTS):
            return found
        heat *= lattice.COOLER


def _reboxed(pair: _Pair, mass: FloatArray, kept: float) -> tuple[Box, Box]:
    scatter = lattice.boxed(pair.before.log_sigma, mass.sum((1, 2, 3)), kept)
    slope = lattice.boxed(pair.before.slope, mass.sum((0, 2, 3)), kept)
    before, after = (
        lattice.leaned(plane, mass.sum(axes), kept) for plane, axes in ((pair.before, (0, 3)), (pair.after, (0, 2)))
    )
    return Box(scatter, slope, *before), Box(scatter, slope, *after)


def _worth(pair: _Pair, gaps: Gaps, found: _Weighed, least: float) -> Gaps:
    """The gaps with more than `least` of the fullest one's mass; the runs between two of them then count together."""
    share = _by_gap(pair, found)
    return gaps.only(share > least * share.max())


def _by_gap(pair: _Pair, found: _Weighed) -> FloatArray:
    seen = np.matmul(found.since.transpose(1, 2, 0, 3), pair.share_of_cell.swapaxes(1, 2))
    mass: FloatArray = (seen * found.past.transpose(1, 2, 0, 3)).sum((0, 1, 3))
    return mass


def _shape(
    pair: _Pair, mass: FloatArray, boxes: tuple[Box, Box], per_sd: tuple[float, float, float, float]
) -> tuple[int, int, int, int]:
    ends = boxes[0].log_sigma, boxes[0].slope, boxes[0].level, boxes[1].level
    scatter, slope, before, after = map(lattice.points_needed, pair.axes, lattice.points_used(mass), ends, per_sd)
    return scatter, slope, before, after


def _total(pair: _Pair, gaps: Gaps, now_years: float, fall: float) -> Changed:
    found = _weighed(pair, gaps, 1.0)
    steep = drop_share(pair.before, pair.after, fall - pair.before.slope * now_years)
    fallen = np.einsum("kscu,kscv,cuv->", found.past, found.since, steep, optimize=True)
    return Changed(
        before=pair.before,
        after=pair.after,
        mass=found.mass * pair.cell,
        fallen=float(fallen) * pair.cell,
        log_scale=found.log_scale,
        gaps=gaps,
        by_gap=_by_gap(pair, found) * pair.cell,
        past=found.past,
        since=found.since,
    )
