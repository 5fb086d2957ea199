"""The posterior where all runs stand on one side of a sudden change: none, before the first run, after the last."""

import math
from dataclasses import dataclass, replace

import numpy as np

from tracker.core import lattice
from tracker.core import prior as belief
from tracker.core.lattice import Box, Lie
from tracker.core.likelihood import Plane, Rows, log_likelihood
from tracker.core.normal import FloatArray, exp
from tracker.core.together import ROUGH_AGES, together

SEARCH = (8, 10, 24)
"""Lattice points along scatter, slope, level while the box is sought."""
MOST_LEVELS = 384
"""Levels of a lattice, sought or last, where the mass stands in humps that fewer would miss."""
MOST_FINER, ENOUGH = 4.0, 2.0
"""So many times as many are tried next, or as many as let them use so many times the points that they must."""
SEEN = 1e-6
"""While they are sought levels are left out where less than this share of the peak was seen before."""
PER_SD = (0.9, 1.6, 4.0)
IN_HUMPS = (0.7, 1.2, 2.5)
"""At last, points along each of them on a standard deviation; fewer where the level stands in humps, each with scatters and
slopes of its own."""
KEPT_ROUGHLY = 1e-4
ROUGHLY = (0.7, 0.8, 1.5)
"""The share of a marginal's peak above which a box is kept, and points on a standard deviation, where that is enough."""


@dataclass(frozen=True, slots=True, eq=False)
class Steady:
    """Masses over the plane, not normalised: times exp(log_scale) they are evidences.

    `kept`: no change. `early`: changed before the first run, so that the plane's level is the one after the drop.
    `late`: changed after the last run, so that it is the one before. No change is between `first_age` and `last_age`.
    """

    plane: Plane
    kept: FloatArray
    early: FloatArray
    late: FloatArray
    first_age: float
    last_age: float
    log_scale: float

    @property
    def total(self) -> float:
        """All three masses together."""
        return float(self.kept.sum() + self.early.sum() + self.late.sum())


def steady(rows: Rows, prior: belief.Prior, now_years: float, *, sudden: bool = True) -> Steady:
    """Integrate over (log sigma, slope, level) after boxing the mass; with `sudden` false no change is thought of."""
    shares = _shares(rows, now_years, sudden=sudden)
    plane, weight, lie = _sought(rows, prior, shares)
    box, shape = _last(plane, weight, lie, lattice.KEPT_AT_LAST, PER_SD)
    if not _humped(lie):
        return _final(rows, prior, shares, box.plane(shape))
    parts = lattice.parts(plane, weight.sum(0), lattice.KEPT_AT_LAST, box.at_age)
    found = _final(rows, prior, shares, box.plane(shape, parts))
    if lattice.cut(found.plane, (found.kept + found.early + found.late).sum((0, 1)), lattice.KEPT_AT_LAST):
        found = _final(rows, prior, shares, box.plane(shape))
    return found


def roughly(rows: Rows, prior: belief.Prior) -> tuple[Plane, FloatArray]:
    """The posterior (not normalised) without the thought of a sudden change, on few points."""
    shares = (1.0, 0.0, 0.0)
    box, shape = _last(*_sought(rows, prior, shares), KEPT_ROUGHLY, ROUGHLY)
    plane = box.plane(shape)
    likelihood = log_likelihood(together(rows, plane.level.mean()), plane, one_age=ROUGH_AGES)[0]
    logs = likelihood + scatter_and_slope(plane) + _level_prior(plane, prior, shares)
    return plane, exp(logs - logs.max())


def _sought(rows: Rows, prior: belief.Prior, shares: tuple[float, float, float]) -> tuple[Plane, FloatArray, Lie]:
    """A plane that holds the mass, its mass there, and how that lies."""
    box, heat, hottest = first_box(rows, prior), lattice.COOLEST, lattice.first_heat(rows.ages.size)
    levels, parts = SEARCH[2], None
    for _ in range(lattice.MOST_PASSES):
        plane = box.plane((*SEARCH[:2], levels))
        likelihood = _likelihood(together(rows.thinned(int(1.0 / hottest)), plane.level.mean()), plane, parts)
        likelihood += _level_prior(plane, prior, shares)
        found, weight, lie = _tempered(likelihood, scatter_and_slope(plane), heat, hottest)
        humped = _humped(lie)
        finer = humped or levels > SEARCH[2]
        used = lie.points[2] / lattice.LEAST_POINTS if finer else ENOUGH
        if humped and used < 1.0 and levels < MOST_LEVELS:
            # So narrow that chance decides which of them a point of the lattice hits.
            levels = min(MOST_LEVELS, math.ceil(levels * min(MOST_FINER, ENOUGH / used)))
            continue
        heat, hottest = found, min(1.0, lattice.MOST_HEATING * found)
        if heat == 1.0 and not lie.at_edge:
            break
        box = _reboxed(plane, weight, lie, lattice.KEPT_IN_SEARCH)
        parts = lattice.parts(plane, weight.sum(0), SEEN, box.at_age) if humped else None
        levels = max(SEARCH[2], min(levels, math.ceil(levels * ENOUGH / used)))
    return plane, weight, lie


def _humped(lie: Lie) -> bool:
    """Whether the level stands in several humps."""
    return lie.humps[2] > 1


def _likelihood(rows: Rows, plane: Plane, parts: FloatArray | None) -> FloatArray:
    """The log-likelihood at levels in these parts, or at all; elsewhere that of what cannot be."""
    if parts is None:
        whole: FloatArray = log_likelihood(rows, plane, one_age=ROUGH_AGES)[0]
        return whole
    found = np.full(plane.shape, -np.inf)
    inside = lattice.within(plane.level, parts)
    held = replace(plane, level=plane.level[inside])
    found[:, :, inside] = log_likelihood(rows, held, one_age=ROUGH_AGES)[0]
    return found


def _shares(rows: Rows, now_years: float, *, sudden: bool) -> tuple[float, float, float]:
    """Prior probabilities of no change, one before the first run, one after the last."""
    if not sudden or now_years <= 0.0:
        return 1.0, 0.0, 0.0
    changed = belief.change_probability(now_years)
    if rows.ages.size == 0:
        return 1.0 - changed, 0.0, changed
    return 1.0 - changed, changed * rows.ages[0] / now_years, changed * (now_years - rows.ages[-1]) / now_years


def first_box(rows: Rows, prior: belief.Prior) -> Box:
    """The prior's box, widened to what the runs show, so that a badly wrong stated figure is no trap."""
    seen = rows.edge if rows.edge.size else np.zeros(1)
    at_age = float(rows.ages.mean()) if rows.ages.size else 0.0
    centre = belief.CENTRE + belief.SLOPE_CENTRE * at_age
    reach = 5.0 * math.hypot(prior.spread, belief.SLOPE_SPREAD * at_age)
    return Box(
        (belief.SIGMA_CENTRE - 5.0 * belief.SIGMA_SPREAD, belief.SIGMA_CENTRE + 5.0 * belief.SIGMA_SPREAD),
        (belief.SLOPE_CENTRE - 5.0 * belief.SLOPE_SPREAD, belief.SLOPE_CENTRE + 5.0 * belief.SLOPE_SPREAD),
        (min(centre - reach + belief.DROP_LOW, seen.min() - 0.3), max(centre + reach, seen.max() + 0.3)),
        at_age,
    )


def scatter_and_slope(plane: Plane) -> FloatArray:
    """Log prior of scatter and slope: (scatter, slope, 1)."""
    scatter = belief.log_normal_density(plane.log_sigma, belief.SIGMA_CENTRE, belief.SIGMA_SPREAD)
    slope = belief.log_normal_density(plane.slope, belief.SLOPE_CENTRE, belief.SLOPE_SPREAD)
    return (scatter[:, None] + slope)[:, :, None]


def _level_prior(plane: Plane, prior: belief.Prior, shares: tuple[float, float, float]) -> FloatArray:
    """Log prior of the level: (slope, level)."""
    first = plane.level_at(0.0)
    density = (shares[0] + shares[2]) * np.exp(belief.log_normal_density(first, belief.CENTRE, prior.spread))
    if shares[1] > 0.0:
        density += shares[1] * belief.dropped_level_density(first, prior.spread)
    logs: FloatArray = np.log(np.maximum(density, belief.TINY))
    return logs


def _tempered(
    likelihood: FloatArray, log_prior: FloatArray, last: float, hottest: float
) -> tuple[float, FloatArray, Lie]:
    """The hottest posterior (likelihood to a power of at most `hottest`) that enough points of the lattice can hold.

    The level's prior is tempered with the likelihood: else a badly wrong stated figure would hide the runs at first.
    """
    heat = hottest
    while True:
        log_weight = heat * likelihood + log_prior
        weight = exp(log_weight - log_weight.max())
        lie = lattice.lie_of(weight)
        if heat <= 2.0 * last or min(lie.points) >= lattice.LEAST_POINTS:
            return heat, weight, lie
        heat *= lattice.COOLER


def _reboxed(plane: Plane, weight: FloatArray, lie: Lie, kept: float) -> Box:
    scatter, slope, _ = lie.marginals
    level, at_age = lattice.leaned(plane, weight.sum(0), kept)
    return Box(lattice.boxed(plane.log_sigma, scatter, kept), lattice.boxed(plane.slope, slope, kept), level, at_age)


def _last(
    plane: Plane, weight: FloatArray, lie: Lie, kept: float, per_sd: tuple[float, float, float]
) -> tuple[Box, tuple[int, int, int]]:
    """Box and shape of the last lattice: over what is above `kept` of the peak, with `per_sd` points on a standard deviation.

    They are IN_HUMPS where the level stands in several.
    """
    box = _reboxed(plane, weight, lie, kept)
    axes, ends = (plane.log_sigma, plane.slope, plane.level), (box.log_sigma, box.slope, box.level)
    humped = _humped(lie)
    most = lattice.MOST, lattice.MOST, MOST_LEVELS if humped else lattice.MOST
    scatter, slope, level = map(lattice.points_needed, axes, lie.points, ends, IN_HUMPS if humped else per_sd, most)
    return box, (scatter, slope, level)


def _final(rows: Rows, prior: belief.Prior, shares: tuple[float, float, float], plane: Plane) -> Steady:
    likelihood = log_likelihood(rows, plane)[0] + scatter_and_slope(plane)
    first = plane.level_at(0.0)
    logs = likelihood + belief.log_normal_density(first, belief.CENTRE, prior.spread)
    log_scale = float(logs.max())
    early = np.full(plane.shape, -np.inf)
    if shares[1] > 0.0:
        early = likelihood + np.log(np.maximum(belief.dropped_level_density(first, prior.spread), belief.TINY))
        log_scale = max(log_scale, float(early.max()))
    cell = lattice.step(plane.log_sigma) * lattice.step(plane.slope) * plane.cell
    undropped, dropped = exp(logs - log_scale) * cell, exp(early - log_scale) * (cell * shares[1])
    ends = (float(rows.ages[0]), float(rows.ages[-1])) if rows.ages.size else (0.0, 0.0)
    return Steady(plane, undropped * shares[0], dropped, undropped * shares[2], *ends, log_scale)
