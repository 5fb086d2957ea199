"""The posterior where the reserve dropped suddenly between two runs: every gap between distinct ages is a candidate.

No fourth axis is needed for the gap: sums of the runs' log-likelihood up to a gap and from it on are taken in order of
age, over a lattice of the level before and one of the level after, which share scatter and slope.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from tracker.core import lattice
from tracker.core import prior as belief
from tracker.core.lattice import Box, Lie
from tracker.core.likelihood import Plane, Rows, log_likelihood
from tracker.core.normal import FloatArray, Floats
from tracker.core.steady import Steady, first_box, scatter_and_slope
from tracker.core.together import CLOSE_AGES, ROUGH_AGES, OneAge, together

SEARCH = (6, 7, 20, 28)
"""Lattice points along scatter, slope, level before, level after while the boxes are sought …"""
PER_SD = (
    (0.05, (0.9, 1.6, 2.2, 2.2)),
    (0.03, (0.9, 1.6, 1.7, 1.7)),
    (0.0, (0.7, 0.8, 1.5, 1.5)),
)
"""… and at last, points along each of them on a standard deviation, for changes at least so likely: the less, the coarser …"""
MOST_LEVELS = 96
"""Points along each level at last where one of them stands in humps, …"""
IN_HUMPS = 0.8
"""… and so many times as many as else along scatter and slope: each hump has some of its own."""
SHORT = 40
"""… but of so few runs, which cost little and tell least, …"""
OF_FEW = (0.9, 2.5, 1.7, 1.7)
"""… never fewer points than these: what their last stretch foretells hangs on the slope."""
NEGLIGIBLE = 3e-5
"""If all gaps together hold less than this share of the posterior they are left out."""
NEGLIGIBLE_PART = 1e-6
"""At last so is a gap that holds less than this share of it; …"""
NEGLIGIBLE_GAP = 1e-9
"""… and while the boxes are sought one with less than this share of what the fullest gap holds."""
ALONE = 8
"""Gaps with no more runs than this before or since stand alone at first."""
PARTS = 4
"""A span that holds too much is cut in so many …"""
ROUGHLY = 0.1
"""… if it holds more than this share of the sum over all …"""
EVEN = 1.5
"""… or is unlike those beside it (holds for its length more than so many times as much, or as little) and …"""
TELLING = 0.0002
"""… more than this of the whole posterior …"""
FULL = 0.003
"""… but never if it holds less than this …"""
LEFT = 0.02
"""… and no more once all that hold too much hold together less than this share, or than TELLING of the whole posterior."""
WIDENED = 0.5
"""The first boxes reach so much of their width beyond those of the posterior without a change."""
UNLIKELY = 0.003
"""A change less likely than this is weighed on the lattice of the last search: that is right to a quarter of so little."""
HARDLY = 2e-4
"""One less likely than this needs no other box and no other gaps either."""
EMPTY = 1e-25
"""At last a cell that holds less than this share of the fullest one is empty: further on singles could not hold it."""
WARM = 0.2
"""Heat from which on gaps are left out: before, the likelihood has not spoken clearly."""


@dataclass(frozen=True, slots=True, eq=False)
class Gaps:
    """Candidates for the change: gaps between neighbouring runs, or spans of several that count as one.

    Each begins at the age of the run `first` and ends at that of the run `last` (places among `ages`, all distinct ages
    of the segment). The change is taken to lie in the gap in the middle of its span, as likely as anywhere in the span.
    """

    ages: FloatArray
    first: NDArray[np.intp]
    last: NDArray[np.intp]
    rate: float

    @property
    def after_age(self) -> FloatArray:
        """Age of the run before each."""
        return self.ages[self.first]

    @property
    def until_age(self) -> FloatArray:
        """Age of the run after each."""
        return self.ages[self.last]

    @property
    def parted_age(self) -> FloatArray:
        """Age of the last run that is taken to come before the change."""
        middle = np.searchsorted(self.ages, 0.5 * (self.after_age + self.until_age), side="left") - 1
        return self.ages[np.maximum(middle, self.first)]

    @property
    def log_share(self) -> FloatArray:
        """Log prior probability that the change lies in each."""
        return np.log(np.maximum(self.rate * (self.until_age - self.after_age), belief.TINY))

    def only(self, kept: NDArray[np.bool_]) -> "Gaps":
        """Some of them."""
        return Gaps(self.ages, self.first[kept], self.last[kept], self.rate)

    def cut(self, full: NDArray[np.bool_]) -> "Gaps":
        """The `full` ones in PARTS, or as single gaps if they are no longer than that."""
        parts = np.where(full, PARTS, 1)[:, None]
        share = np.minimum(np.arange(PARTS + 1), parts) / parts
        at = np.rint(self.first[:, None] + share * (self.last - self.first)[:, None]).astype(np.intp)
        first, last = at[:, :-1].ravel(), at[:, 1:].ravel()
        return Gaps(self.ages, first[first < last], last[first < last], self.rate)

    def uneven(self, share: FloatArray) -> NDArray[np.bool_]:
        """Which hold, for their length, EVEN times more or less than one beside them, of what all hold by their `share`."""
        rate = share / (self.until_age - self.after_age)
        beside = np.stack([rate, np.append(rate[1:], rate[-1]), np.append(rate[0], rate[:-1])])
        apart: NDArray[np.bool_] = beside.max(0) > EVEN * beside.min(0)
        return apart

    @property
    def single(self) -> NDArray[np.bool_]:
        """Which of them are one gap."""
        alone: NDArray[np.bool_] = self.last - self.first == 1
        return alone


def spans(ages: FloatArray, rate: float) -> Gaps:
    """Every gap, in spans that hold at most half as many runs as lie between them and the nearer end of the segment."""
    ends, at = [0], 0
    while ends[-1] < ages.size - 1:
        at = ends[-1]
        room = min(at, (ages.size - 1 - at) * 2 // 3)
        ends.append(at + max(1, (room - ALONE) // 2))
    places = np.array(ends, dtype=np.intp)
    return Gaps(ages, places[:-1], places[1:], rate)


@dataclass(frozen=True, slots=True, eq=False)
class Changed:
    """Masses over (scatter, slope, level before, level after), not normalised: times exp(log_scale) an evidence.

    `fallen` is the part whose reserve has fallen below the threshold by now. A cell's mass is in a gap as its `past`
    times its `since` there: arrays over (scatter, slope, gap, level before or after).
    """

    before: Plane
    after: Plane
    mass: Floats
    fallen: float
    log_scale: float
    gaps: Gaps
    by_gap: FloatArray
    past: Floats
    since: Floats


@dataclass(frozen=True, slots=True, eq=False)
class _Pair:
    """The two planes, and over them the log-likelihood of the runs before (with the level's prior) and after each gap."""

    before: Plane
    after: Plane
    past: FloatArray
    since: FloatArray
    log_prior: FloatArray
    share_of_cell: Floats

    @property
    def axes(self) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
        """Scatter, slope, level before, level after."""
        return self.before.log_sigma, self.before.slope, self.before.level, self.after.level

    @property
    def cell(self) -> float:
        """Volume of a cell of the lattice."""
        scatter, slope, *_ = self.axes
        return lattice.step(scatter) * lattice.step(slope) * self.before.cell * self.after.cell


@dataclass(frozen=True, eq=False)
class _Weighed:
    """A pair of planes at some heat: factors before and since each gap, and their sum of products in the window.

    The factors are arrays over (scatter, slope, gap, level before or after).
    """

    heat: float
    past: Floats
    since: Floats
    mass: Floats
    log_scale: float

    @cached_property
    def lie(self) -> Lie:
        """How it lies over the lattice."""
        return lattice.lie_of(self.mass)


def changed(rows: Rows, prior: belief.Prior, now_years: float, fall: float, rival: Steady) -> Changed | None:
    """Integrate over every gap between two distinct ages; None where there is no such gap, or next to no chance of it.

    `fall` is the change of log reserve (negative) that counts as fallen by `now_years`; `rival` is the posterior
    without a change between runs, on the same runs.
    """
    if rows.ages.size < 2 or now_years <= 0.0:  # noqa: PLR2004 (a gap lies between two)
        return None
    gaps = spans(rows.ages, belief.change_probability(now_years) / now_years)
    few = rows.ages.size <= SHORT
    boxes, heat, hottest = _first_boxes(rows, prior, rival), lattice.COOLEST, lattice.first_heat(rows.ages.size)
    for _ in range(lattice.MOST_PASSES):
        fewer = together(rows.thinned(int(1.0 / hottest)), _middle(boxes), gaps.parted_age)
        pair = _pair(fewer, prior, gaps, boxes, SEARCH, one_age=ROUGH_AGES)
        if not pair.share_of_cell.any():
            return None
        found = _tempered(pair, gaps, heat, hottest)
        heat, hottest = found.heat, min(1.0, lattice.MOST_HEATING * found.heat)
        chance = _chance(pair, found, rival) if heat == 1.0 else 1.0
        if chance < NEGLIGIBLE:
            return None
        settled = heat == 1.0 and not found.lie.at_edge
        share = _by_gap(pair, found) / found.mass.sum()
        limit = max(FULL, min(ROUGHLY, TELLING / chance)) if settled else ROUGHLY
        full = (share > np.where(gaps.uneven(share), limit, ROUGHLY)) & ~gaps.single
        done = settled and float(share[full].sum()) < max(LEFT, TELLING / chance)
        if (done and chance < UNLIKELY and not few) or chance < HARDLY:
            return _total(pair, found, gaps, now_years, fall)
        # The boxes of an unlikely change are narrower: they leave out as much of the whole posterior.
        boxes = _reboxed(pair, found, lattice.KEPT_AT_LAST / chance if done else lattice.KEPT_IN_SEARCH)
        if done:
            break
        kept = share > (NEGLIGIBLE_GAP if heat >= WARM else -1.0) * share.max()
        gaps = gaps.only(kept).cut(full[kept])
    gaps = gaps.only(share > min(0.1, NEGLIGIBLE_PART / chance) * share.max())
    per_sd = next(points for least, points in PER_SD if chance >= least)
    shape = _shape(pair, found.lie, boxes, tuple(map(max, per_sd, OF_FEW)) if few else per_sd)
    kept = lattice.KEPT_AT_LAST / chance
    humps = [
        lattice.parts(plane, _summed(found.mass, axes), kept, box.at_age)
        for plane, axes, box in zip((pair.before, pair.after), ((0, 3), (0, 2)), boxes, strict=True)
    ]
    pair = _pair(rows, prior, gaps, boxes, shape, parts=humps)
    found = _weighed(pair, gaps, 1.0)
    sides = (pair.before, (0, 1, 3)), (pair.after, (0, 1, 2))
    if any(lattice.cut(plane, _summed(found.mass, axes), kept) for plane, axes in sides):
        pair = _pair(rows, prior, gaps, boxes, shape)
        found = _weighed(pair, gaps, 1.0)
    return _total(pair, found, gaps, now_years, fall)


def _first_boxes(rows: Rows, prior: belief.Prior, rival: Steady) -> tuple[Box, Box]:
    """Where the mass lies without a change, widened, and the levels by what a drop may be."""
    plane, widest = rival.plane, first_box(rows, prior)
    scatter, slope = _widened(plane.log_sigma, widest.log_sigma), _widened(plane.slope, widest.slope)
    low, high = _widened(plane.level, (-math.inf, math.inf))
    before, after = (low, high - belief.DROP_LOW), (low + belief.DROP_LOW, high)
    return Box(scatter, slope, before, plane.at_age), Box(scatter, slope, after, plane.at_age)


def _middle(boxes: tuple[Box, Box]) -> float:
    """The middle of both boxes' levels."""
    return 0.5 * (boxes[0].level[0] + boxes[1].level[1])


def _widened(axis: FloatArray, within: lattice.Interval) -> lattice.Interval:
    by = WIDENED * float(axis[-1] - axis[0])
    return max(within[0], float(axis[0]) - by), min(within[1], float(axis[-1]) + by)


def _chance(pair: _Pair, found: _Weighed, rival: Steady) -> float:
    """Posterior probability of a change between two runs."""
    own = found.log_scale + math.log(max(float(found.mass.sum()) * pair.cell, belief.TINY))
    return 1.0 / (1.0 + math.exp(min(700.0, rival.log_scale + math.log(rival.total) - own)))


def _pair(
    rows: Rows,
    prior: belief.Prior,
    gaps: Gaps,
    boxes: tuple[Box, Box],
    shape: tuple[int, int, int, int],
    *,
    parts: Sequence[FloatArray | None] = (None, None),
    one_age: OneAge = CLOSE_AGES,
) -> _Pair:
    """`parts` of the levels before and after (as of tracker.core.lattice.parts), where not all are looked at."""
    before, after = boxes[0].plane(shape[:3], parts[0]), boxes[1].plane((*shape[:2], shape[3]), parts[1])
    past = _running(log_likelihood(rows, before, gaps.parted_age, one_age=one_age)[:-1])
    since = _running(log_likelihood(rows, after, gaps.parted_age, one_age=one_age)[:0:-1])[::-1]
    past += belief.log_normal_density(before.level_at(0.0), belief.CENTRE, prior.spread)
    return _Pair(before, after, past, since, scatter_and_slope(before), drop_share(before, after, belief.DROP_HIGH))


def _running(parts: FloatArray) -> FloatArray:
    """Running sum along the first axis, in place: slab by slab is many times faster than numpy's own."""
    for before, part in pairwise(parts):
        np.add(part, before, out=part)
    return parts


def drop_share(before: Plane, after: Plane, drop_high: FloatArray | float) -> Floats:
    """Density of the drop (per unit of log hours) times the share of each cell whose drop lies in its range, in singles.

    An array (slope, level before, level after); `drop_high`, a number or one per slope, cuts the range further.
    """
    from tracker.core import dropshare  # noqa: PLC0415 -- half a second, and only who estimates needs it

    top = np.clip(drop_high + np.zeros(before.slope.size), belief.DROP_LOW, belief.DROP_HIGH)
    levels, apart = (before.level_at(0.0), after.level_at(0.0)), (before.cell, after.cell)
    share: Floats = dropshare.shares(*levels, apart, belief.DROP_LOW, top)
    share /= belief.DROP_HIGH - belief.DROP_LOW
    return share


def _weighed(pair: _Pair, gaps: Gaps, heat: float) -> _Weighed:
    """Raise the likelihood to a power and sum over the gaps."""
    from tracker.core import gapmass  # noqa: PLC0415 -- half a second, and only who estimates needs it

    past, since, log_scale = gapmass.factors(pair.past, pair.since, pair.log_prior[:, :, 0], gaps.log_share, heat)
    mass: Floats = np.matmul(past.swapaxes(2, 3), since)
    mass *= pair.share_of_cell
    return _Weighed(heat, past, since, mass, log_scale)


def _tempered(pair: _Pair, gaps: Gaps, last: float, hottest: float) -> _Weighed:
    """The hottest sum that enough points of the lattice can hold, at least twice as hot as the `last`.

    Some drop must be possible between these levels.
    """
    heat = hottest
    while True:
        found = _weighed(pair, gaps, heat)
        if found.mass.any() and (heat <= 2.0 * last or min(found.lie.points) >= lattice.LEAST_POINTS):
            return found
        heat *= lattice.COOLER


def _reboxed(pair: _Pair, found: _Weighed, kept: float) -> tuple[Box, Box]:
    scatter = lattice.boxed(pair.before.log_sigma, found.lie.marginals[0], kept)
    slope = lattice.boxed(pair.before.slope, found.lie.marginals[1], kept)
    before, after = (
        lattice.leaned(plane, _summed(found.mass, axes), kept)
        for plane, axes in ((pair.before, (0, 3)), (pair.after, (0, 2)))
    )
    return Box(scatter, slope, *before), Box(scatter, slope, *after)


def _by_gap(pair: _Pair, found: _Weighed) -> FloatArray:
    """What each gap holds: scatter by scatter, which is little enough to stay at hand."""
    held = np.zeros(found.past.shape[2])
    for past, since in zip(found.past, found.since, strict=True):
        seen = np.matmul(past, pair.share_of_cell)
        held += np.einsum("jgk,jgk->g", seen, since)
    return held


def _shape(pair: _Pair, lie: Lie, boxes: tuple[Box, Box], per_sd: tuple[float, ...]) -> tuple[int, int, int, int]:
    ends = boxes[0].log_sigma, boxes[0].slope, boxes[0].level, boxes[1].level
    most = (lattice.MOST,) * 4
    if max(lie.humps[2:]) > 1:
        most = lattice.MOST, lattice.MOST, MOST_LEVELS, MOST_LEVELS
        per_sd = IN_HUMPS * per_sd[0], IN_HUMPS * per_sd[1], per_sd[2], per_sd[3]
    scatter, slope, before, after = map(lattice.points_needed, pair.axes, lie.points, ends, per_sd, most)
    return scatter, slope, before, after


def _total(pair: _Pair, found: _Weighed, gaps: Gaps, now_years: float, fall: float) -> Changed | None:
    top = float(found.mass.max())
    if top == 0.0:
        return None
    mass = np.where(found.mass > EMPTY * top, found.mass, 0.0) / np.float32(top)
    steep = drop_share(pair.before, pair.after, fall - pair.before.slope * now_years)
    whole = pair.share_of_cell
    fallen = _summed(mass, 0) * np.divide(steep, whole, out=np.zeros_like(whole), where=whole > 0.0)
    return Changed(
        before=pair.before,
        after=pair.after,
        mass=mass,
        fallen=float(fallen.sum()),
        log_scale=found.log_scale + math.log(pair.cell * top),
        gaps=gaps,
        by_gap=_by_gap(pair, found) / top,
        past=found.past,
        since=found.since,
    )


def _summed(mass: Floats, axes: int | tuple[int, ...]) -> FloatArray:
    """Singles summed along some axes, as doubles."""
    total: FloatArray = mass.sum(axes, dtype=np.float64)
    return total
