"""The two parts of the posterior weighed against each other, and what they say of level, slope and falls."""

import math
from dataclasses import dataclass, replace

import numpy as np

from tracker.core import prior as belief
from tracker.core import spread
from tracker.core.change import Changed
from tracker.core.lattice import step
from tracker.core.likelihood import Plane
from tracker.core.normal import FloatArray
from tracker.core.prior import Prior
from tracker.core.spread import Band, Grid
from tracker.core.steady import Steady

SIGMAS = 6.0
"""Standard deviations of a run that the grid of log hours reaches beyond the levels."""
LEAST_CHANGE = 0.02
"""A sudden drop less likely than this has no date."""
Scattered = tuple[FloatArray, FloatArray]
"""Scatters (row), and the mass of the level for each (row, bin)."""


@dataclass(frozen=True, slots=True, eq=False)
class Posterior:
    """Masses that sum to one: runs on one side of a change (or none), and a change between runs if there can be one."""

    steady: Steady
    changed: Changed | None

    @property
    def sudden(self) -> float:
        """Probability that the reserve dropped suddenly."""
        return max(0.0, 1.0 - float(self.steady.kept.sum()))


def weigh(one_side: Steady, between: Changed | None) -> Posterior:
    """Normalise both parts together."""
    if between is None:
        return Posterior(_scaled(one_side, 1.0 / one_side.total), None)
    top = max(one_side.log_scale, between.log_scale)
    shares = math.exp(one_side.log_scale - top), math.exp(between.log_scale - top)
    total = shares[0] * one_side.total + shares[1] * float(between.mass.sum(dtype=np.float64))
    factor = shares[1] / total
    scaled = replace(
        between, mass=between.mass * factor, fallen=between.fallen * factor, by_gap=between.by_gap * factor
    )
    return Posterior(_scaled(one_side, shares[0] / total), scaled)


def _scaled(part: Steady, factor: float) -> Steady:
    return replace(part, kept=part.kept * factor, early=part.early * factor, late=part.late * factor)


def level_now(posterior: Posterior, now_years: float) -> tuple[Grid, list[Scattered]]:
    """Level of log(T / scale) at the present age, by scatter, on a grid that holds the next run as well."""
    part, between = posterior.steady, posterior.changed
    planes = [part.plane] if between is None else [part.plane, between.after]
    levels = [plane.level_at(now_years) for plane in planes]
    reach = SIGMAS * math.exp(max(plane.log_sigma[-1] for plane in planes))
    grid = spread.grid_over(
        min(level.min() for level in levels) + belief.DROP_LOW - reach, max(level.max() for level in levels) + reach
    )
    one_side = _on_grid(grid, part.plane, now_years, part.kept + part.early)
    if part.late.any():
        late = _on_grid(grid, part.plane, now_years, part.late)
        one_side += spread.smear(grid, late, belief.DROP_LOW, belief.DROP_HIGH)
    found = [(np.exp(part.plane.log_sigma), one_side)]
    if between is not None:
        dropped = _on_grid(grid, between.after, now_years, between.mass.sum(2, dtype=np.float64))
        found.append((np.exp(between.after.log_sigma), dropped))
    return grid, found


def whatever_scatter(found: list[Scattered]) -> FloatArray:
    """Add up the mass over all scatters: one row of bins."""
    total: FloatArray = np.concatenate([mass for _, mass in found]).sum(0)
    return total


def level_at_service(posterior: Posterior, prior: Prior) -> tuple[Grid, FloatArray]:
    """Level of log(T / scale) just after the service: a grid and one row of mass."""
    part, between = posterior.steady, posterior.changed
    planes = [part.plane] if between is None else [part.plane, between.before]
    levels = [plane.level_at(0.0) for plane in planes]
    grid = spread.grid_over(
        min(level.min() for level in levels), max(level.max() for level in levels) - belief.DROP_LOW
    )
    mass = _on_grid(grid, part.plane, 0.0, (part.kept + part.late).sum(0, keepdims=True))
    if part.early.any():
        mass += _before_early(grid, part, prior)
    if between is not None:
        mass += _on_grid(grid, between.before, 0.0, between.mass.sum((0, 3), dtype=np.float64)[None])
    return grid, mass[0]


def _before_early(grid: Grid, part: Steady, prior: Prior) -> FloatArray:
    """The level before a drop that came before the first run: only the prior and the size of the drop tell of it."""
    dropped = belief.dropped_level_density(part.plane.level_at(0.0), prior.spread)
    early = part.early.sum(0, keepdims=True)
    likely = np.divide(early, dropped, out=np.zeros_like(early), where=dropped > belief.TINY)
    raised = spread.smear(grid, _on_grid(grid, part.plane, 0.0, likely), -belief.DROP_HIGH, -belief.DROP_LOW)
    return raised * np.exp(belief.log_normal_density(grid.centre, belief.CENTRE, prior.spread))


def _on_grid(grid: Grid, plane: Plane, age_years: float, mass: FloatArray) -> FloatArray:
    """Masses over (row, slope, level) as distributions of the level at an age, each point spread over its cell."""
    years = age_years - plane.at_age
    slope, fine = spread.finer(plane.slope, mass, along=1)
    dotted = spread.deposit(grid, slope[:, None] * years + plane.level, fine)
    for width in (plane.cell, step(slope) * abs(years)):
        dotted = spread.smear(grid, dotted, -width / 2.0, width / 2.0)
    return dotted


def slope(posterior: Posterior) -> tuple[Grid, FloatArray]:
    """Gradual change of log reserve per year: a grid and one row of mass."""
    part, between = posterior.steady, posterior.changed
    found = [(part.plane.slope, (part.kept + part.early + part.late).sum((0, 2)))]
    return _marginal(
        found + ([] if between is None else [(between.before.slope, between.mass.sum((0, 2, 3), dtype=np.float64))])
    )


def log_scatter(posterior: Posterior) -> tuple[Grid, FloatArray]:
    """Log of the standard deviation of log run lengths: a grid and one row of mass."""
    part, between = posterior.steady, posterior.changed
    found = [(part.plane.log_sigma, (part.kept + part.early + part.late).sum((1, 2)))]
    return _marginal(
        found + ([] if between is None else [(between.before.log_sigma, between.mass.sum((1, 2, 3), dtype=np.float64))])
    )


def _marginal(parts: list[tuple[FloatArray, FloatArray]]) -> tuple[Grid, FloatArray]:
    """Masses on several even axes as one distribution, each point spread over its cell."""
    found = [spread.finer(axis, marginal) for axis, marginal in parts]
    grid = spread.grid_over(
        min(2 * axis[0] - axis[1] for axis, _ in found), max(2 * axis[-1] - axis[-2] for axis, _ in found)
    )
    mass = np.zeros((1, grid.centre.size))
    for axis, marginal in found:
        half = step(axis) / 2.0
        mass += spread.smear(grid, spread.deposit(grid, axis, marginal[None]), -half, half)
    return grid, mass[0]


def change_years(posterior: Posterior, now_years: float) -> Band | None:
    """Age at which a sudden drop happened, given that one did; None where that is hardly believed."""
    if posterior.sudden < LEAST_CHANGE:
        return None
    part, between = posterior.steady, posterior.changed
    start, end = np.array([0.0, part.last_age]), np.array([part.first_age, now_years])
    mass = np.array([part.early.sum(), part.late.sum()])
    if between is not None:
        start, end, mass = (
            np.insert(outer, 1, inner)
            for outer, inner in (
                (start, between.gaps.after_age),
                (end, between.gaps.until_age),
                (mass, between.by_gap),
            )
        )
    rising = np.concatenate([[0.0], np.repeat(np.cumsum(mass), 2)])[:-1]
    ages = np.stack([start, end], axis=1).ravel()
    return Band(*(float(point) for point in np.interp(np.array([0.05, 0.5, 0.95]) * mass.sum(), rising, ages)))


def fall_probability(posterior: Posterior, prior: Prior, now_years: float, fall: float) -> float:
    """Probability that log reserve has changed by `fall` (negative) or worse since the service."""
    part = posterior.steady
    total = 0.0 if posterior.changed is None else posterior.changed.fallen
    axis, kept = spread.finer(part.plane.slope, part.kept.sum((0, 2)))
    cell = max(step(axis) * now_years, belief.TINY)
    total += float(kept @ np.clip((fall - axis * now_years) / cell + 0.5, 0.0, 1.0))
    needed = np.clip(fall - part.plane.slope * now_years, belief.DROP_LOW, belief.DROP_HIGH)
    share = (needed - belief.DROP_LOW) / (belief.DROP_HIGH - belief.DROP_LOW)
    total += float(part.late.sum((0, 2)) @ share)
    first = part.plane.level_at(0.0)
    steep = belief.dropped_level_density(first, prior.spread, needed[:, None])
    any_drop = np.maximum(belief.dropped_level_density(first, prior.spread), belief.TINY)
    return total + float((part.early.sum(0) * steep / any_drop).sum())


def gained_bits(grid: Grid, mass: FloatArray, prior: Prior, now_years: float) -> float:
    """Information on the present level gained over the prior: the divergence of the two, in bits."""
    centre = belief.CENTRE + belief.SLOPE_CENTRE * now_years
    width = math.hypot(prior.spread, belief.SLOPE_SPREAD * now_years)
    density = np.exp(belief.log_normal_density(grid.centre, centre, width)) * grid.step
    changed = belief.change_probability(now_years)
    before = (1.0 - changed) * density + changed * spread.smear(grid, density[None], belief.DROP_LOW, belief.DROP_HIGH)[
        0
    ]
    held = mass > 0.0
    return max(0.0, float((mass[held] * np.log2(mass[held] / np.maximum(before[held], belief.TINY))).sum()))
