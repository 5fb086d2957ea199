"""Courses the reserve may have taken and may take: paths drawn evenly from the posterior, and what they tell."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tracker.core import prior as belief
from tracker.core import spread
from tracker.core.change import Changed
from tracker.core.lattice import step
from tracker.core.likelihood import Plane
from tracker.core.normal import FloatArray
from tracker.core.posterior import Posterior
from tracker.core.prior import Prior
from tracker.core.spread import Band

PATHS = 4096
FORECAST_YEARS = 30.0
"""A threshold passed later than this from now counts as never passed."""
LEAST_PASSING = 0.01
"""A threshold passed by fewer courses than this has no date."""
PAST_POINTS, FAN_POINTS, FAN_YEARS = 24, 12, 5.0
"""Ages shown from the service to now, from now on, and how far on."""
_DROPS = np.linspace(belief.DROP_LOW, belief.DROP_HIGH, 101)
_RANGE = belief.DROP_HIGH - belief.DROP_LOW
_GOLDEN = 1.1347241384015194
"""Root of x^6 = x + 1: powers of its inverse fill five dimensions evenly (Roberts' sequence, from memory)."""
_QUANTILES = (0.05, 0.5, 0.95)


@dataclass(frozen=True, slots=True, eq=False)
class Paths:
    """Equally likely courses of log(T / scale): level at the service, slope per year, age (inf: none) and size of a drop."""

    level: FloatArray
    slope: FloatArray
    change_years: FloatArray
    drop: FloatArray


@dataclass(frozen=True, slots=True)
class Track:
    """The median run (hours from the full wind) at ages since the service: 5, 50, 95 % points."""

    age_years: tuple[float, ...]
    low: tuple[float, ...]
    mid: tuple[float, ...]
    high: tuple[float, ...]


def drawn(posterior: Posterior, prior: Prior, now_years: float, count: int = PATHS) -> Paths:
    """Draw courses in proportion to their mass, by a fixed rule: the same posterior gives the same paths."""
    part, between = posterior.steady, posterior.changed
    masses = [part.kept, part.early, part.late] + ([] if between is None else [between.mass])
    shares = np.cumsum([mass.sum() for mass in masses])
    numbers = np.diff(np.rint(count * shares / shares[-1]).astype(int), prepend=0)
    kept, early, late = (_on_plane(part.plane, mass, n) for mass, n in zip(masses[:3], numbers[:3], strict=True))
    first, last = part.first_age, part.last_age
    size = _even(numbers[2])[:, 2]
    found = [
        Paths(*kept, np.full(numbers[0], np.inf), np.zeros(numbers[0])),
        _raised(*early, first, prior),
        Paths(*late, last + (now_years - last) * _even(numbers[2])[:, 3], belief.DROP_LOW + size * _RANGE),
    ]
    if between is not None:
        found.append(_between(between, numbers[3]))
    names = ("level", "slope", "change_years", "drop")
    return Paths(*(np.concatenate([getattr(each, name) for each in found]) for name in names))


def _even(count: int) -> FloatArray:
    """Points that fill the unit cube of five dimensions evenly: (point, dimension)."""
    filled: FloatArray = (0.5 + np.arange(count)[:, None] * _GOLDEN ** -np.arange(1.0, 6.0)) % 1.0
    return filled


def _cells(mass: FloatArray, count: int) -> tuple[NDArray[np.intp], ...]:
    """Index of `count` cells along each axis, drawn in proportion to their mass at even steps of its running sum."""
    rising = np.cumsum(mass)
    at = np.searchsorted(rising, rising[-1] * (np.arange(count) + 0.5) / count)
    return np.unravel_index(np.minimum(at, mass.size - 1), mass.shape)


def _on_plane(plane: Plane, mass: FloatArray, count: int) -> tuple[FloatArray, FloatArray]:
    """Level at the service and slope of cells drawn from masses over (scatter, slope, level)."""
    axis, fine = spread.finer(plane.slope, mass.swapaxes(0, 1))
    slopes, _, levels = _cells(fine, count)
    within = _even(count) - 0.5
    slope = axis[slopes] + step(axis) * within[:, 0]
    return plane.level[levels] + step(plane.level) * within[:, 1] - slope * plane.at_age, slope


def _raised(after: FloatArray, slope: FloatArray, first_age: float, prior: Prior) -> Paths:
    """Courses that dropped before the first run: their runs tell the level after, the prior the one before."""
    density = np.exp(belief.log_normal_density(after[:, None] - _DROPS, belief.CENTRE, prior.spread))
    even = _even(after.size)
    drop = _DROPS[_picked(density.T, even[:, 2])]
    return Paths(after - drop, slope, first_age * even[:, 3], drop)


def _picked(weight: FloatArray, share: FloatArray) -> NDArray[np.intp]:
    """For each column of `weight`, the row in which this share of its sum is reached."""
    rising = np.cumsum(weight, axis=0)
    row: NDArray[np.intp] = (rising < share * rising[-1]).sum(0)
    return np.minimum(row, len(weight) - 1)


def _between(part: Changed, count: int) -> Paths:
    scatters, slopes, befores, afters = _cells(part.mass, count)
    even = _even(count)
    gap = _picked(part.past[:, scatters, slopes, befores] * part.since[:, scatters, slopes, afters], even[:, 4])
    before, after = part.before, part.after
    slope = before.slope[slopes] + step(before.slope) * (even[:, 0] - 0.5)
    high = before.level[befores] + step(before.level) * (even[:, 1] - 0.5) - slope * before.at_age
    low = after.level[afters] + step(after.level) * (even[:, 2] - 0.5) - slope * after.at_age
    start = part.gaps.after_age[gap]
    changed = start + (part.gaps.until_age[gap] - start) * even[:, 3]
    return Paths(high, slope, changed, np.clip(low - high, belief.DROP_LOW, belief.DROP_HIGH))


def ages_to_show(now_years: float) -> FloatArray:
    """Ages of the track: evenly from the service to now, and on for the fan."""
    past = np.linspace(0.0, now_years, PAST_POINTS) if now_years > 0.0 else np.zeros(1)
    return np.concatenate([past, now_years + np.linspace(0.0, FAN_YEARS, FAN_POINTS + 1)[1:]])


def track(paths: Paths, scale_h: float, ages: FloatArray) -> Track:
    """The median run at these ages; a sudden drop after now is not foretold."""
    level = paths.level + ages[:, None] * paths.slope
    level += np.where(ages[:, None] > paths.change_years, paths.drop, 0.0)
    low, mid, high = scale_h * np.exp(np.quantile(level, _QUANTILES, axis=1))
    return Track(tuple(ages.tolist()), tuple(low.tolist()), tuple(mid.tolist()), tuple(high.tolist()))


def passing(paths: Paths, fall: float, now_years: float) -> tuple[float, Band | None]:
    """Chance that log reserve falls by `fall` (negative) within FORECAST_YEARS from now, and the age at which it does."""
    gradual = _years_to(fall, paths.slope)
    later = np.maximum(paths.change_years, _years_to(fall - paths.drop, paths.slope))
    at_once = paths.slope * np.minimum(paths.change_years, 1e6) + paths.drop <= fall
    passed = np.where(at_once, paths.change_years, later)
    passed = np.where(gradual < paths.change_years, gradual, passed)
    soon = passed[passed <= now_years + FORECAST_YEARS]
    chance = soon.size / passed.size
    if chance < LEAST_PASSING:
        return chance, None
    return chance, Band(*(float(age) for age in np.quantile(soon, _QUANTILES)))


def _years_to(fall: FloatArray | float, slope: FloatArray) -> FloatArray:
    """Years a slope takes for a fall (negative), inf where it never does."""
    years: FloatArray = np.minimum(fall, 0.0) / np.minimum(slope, -belief.TINY)
    return np.where(slope < 0.0, years, np.inf)
