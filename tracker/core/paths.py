"""Courses the reserve may have taken and may take: paths drawn evenly from the posterior, and what they tell."""

import math
from bisect import bisect
from dataclasses import dataclass, fields
from functools import cache

import numpy as np
from numpy.typing import NDArray

from tracker.core import prior as belief
from tracker.core import spread
from tracker.core.change import Changed
from tracker.core.lattice import step
from tracker.core.likelihood import Plane
from tracker.core.normal import FloatArray, Floats
from tracker.core.posterior import Posterior
from tracker.core.prior import Prior

PATHS = 4096
FORECAST_YEARS = 30.0
"""A threshold passed later than this from now counts as never passed."""
PAST_POINTS, FAN_POINTS, FAN_YEARS = 24, 12, 5.0
"""Ages shown from the service to now, from now on, and how far on."""
_DROPS = np.linspace(belief.DROP_LOW, belief.DROP_HIGH, 101)
_RANGE = belief.DROP_HIGH - belief.DROP_LOW
_GOLDEN = 1.1127756842787055
"""Root of x^7 = x + 1: powers of its inverse fill six dimensions evenly (Roberts' sequence, from memory)."""
_QUANTILES = (0.05, 0.5, 0.95)


@dataclass(frozen=True, slots=True, eq=False)
class Paths:
    """Courses of log(T / scale): level at the service, slope per year, age (inf: none) and size of a drop.

    `log_sigma` is the log of the standard deviation of clean runs about the course, `log_weight` the log of what the
    course counts for.
    """

    level: FloatArray
    slope: FloatArray
    change_years: FloatArray
    drop: FloatArray
    log_sigma: FloatArray
    log_weight: FloatArray

    def level_at(self, age_years: FloatArray | float) -> FloatArray:
        """Level at an age, or at each of several: (age, course) if `age_years` is a column."""
        return self.level + age_years * self.slope + np.where(age_years > self.change_years, self.drop, 0.0)


@dataclass(frozen=True)
class Track:
    """The median run (hours from the full wind) at ages since the service: 5, 50, 95 % points."""

    age_years: tuple[float, ...]
    low: tuple[float, ...]
    mid: tuple[float, ...]
    high: tuple[float, ...]

    def at(self, age_years: float) -> tuple[float, float, float]:
        """The three points at an age, in hours; beyond its ends as there."""
        after = bisect(self.age_years, age_years)
        if after in {0, len(self.age_years)}:
            end = min(after, len(self.age_years) - 1)
            return self.low[end], self.mid[end], self.high[end]
        start, span = self.age_years[after - 1], self.age_years[after] - self.age_years[after - 1]
        share = (age_years - start) / span
        low, mid, high = (
            points[after - 1] + share * (points[after] - points[after - 1])
            for points in (self.low, self.mid, self.high)
        )
        return low, mid, high


@dataclass(frozen=True, slots=True)
class Passing:
    """When a bound is passed (years since the service): the ages by which 5, 50 and 95 % of all courses have passed it.

    None where so many don't within FORECAST_YEARS from now.
    """

    low: float
    mid: float | None
    high: float | None


def drawn(posterior: Posterior, prior: Prior, now_years: float, count: int = PATHS, *, heat: float = 1.0) -> Paths:
    """Draw courses by a fixed rule: the same posterior gives the same paths.

    At heat 1 they are drawn in proportion to their mass and count alike; below, by that power of it, so that more of
    them lie where the posterior is thin, and count for less.
    """
    part, between = posterior.steady, posterior.changed
    masses = [part.kept, part.early, part.late]
    held = [*(mass.sum() for mass in masses), 0.0 if between is None else between.mass.sum(dtype=np.float64)]
    shares = np.cumsum(np.array(held) ** heat)
    numbers = np.diff(np.rint(count * shares / shares[-1]).astype(int), prepend=0)
    kept, early, late = (_on_plane(part.plane, mass, n, heat) for mass, n in zip(masses, numbers[:3], strict=True))
    first, last = part.first_age, part.last_age
    even = _even(numbers[2])
    found = [
        Paths(*kept[:2], np.full(numbers[0], np.inf), np.zeros(numbers[0]), *kept[2:]),
        _raised(*early, first_age=first, prior=prior),
        Paths(*late[:2], last + (now_years - last) * even[:, 3], belief.DROP_LOW + even[:, 2] * _RANGE, *late[2:]),
    ]
    if between is not None:
        found.append(_between(between, numbers[3], heat))
    return Paths(*(np.concatenate([getattr(each, field.name) for each in found]) for field in fields(Paths)))


def _even(count: int) -> FloatArray:
    """Points that fill the unit cube of six dimensions evenly: (point, dimension)."""
    return _filled(max(count, PATHS))[:count]


@cache
def _filled(count: int) -> FloatArray:
    filled: FloatArray = (0.5 + np.arange(count)[:, None] * _GOLDEN ** -np.arange(1.0, 7.0)) % 1.0
    filled.setflags(write=False)
    return filled


def _cells(mass: Floats, count: int, heat: float) -> tuple[tuple[NDArray[np.intp], ...], FloatArray]:
    """Index of `count` cells along each axis, drawn by a power of their mass at even steps of its running sum.

    With them the log of what each counts for.
    """
    from tracker.core.picked import picked  # noqa: PLC0415 -- half a second, and only who estimates needs it

    if count == 0:
        return np.unravel_index(np.zeros(0, dtype=np.intp), mass.shape), np.zeros(0)
    at, total = picked(mass.ravel(), count, heat)
    return np.unravel_index(at, mass.shape), (1.0 - heat) * np.log(mass.ravel()[at]) + math.log(total / count)


def _on_plane(
    plane: Plane, mass: FloatArray, count: int, heat: float
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Level at the service, slope, log scatter and log weight of cells drawn from masses over (scatter, slope, level)."""
    if count == 0:
        return (np.zeros(0),) * 4
    scatter, mass = spread.finer(plane.log_sigma, mass)
    axis, fine = spread.finer(plane.slope, mass.swapaxes(0, 1))
    (slopes, scatters, levels), log_weight = _cells(fine, count, heat)
    within = _even(count) - 0.5
    slope = axis[slopes] + step(axis) * within[:, 0]
    level = plane.level[levels] + plane.cell * within[:, 1] - slope * plane.at_age
    return level, slope, scatter[scatters] + step(scatter) * within[:, 5], log_weight


def _raised(
    after: FloatArray,
    slope: FloatArray,
    log_sigma: FloatArray,
    log_weight: FloatArray,
    *,
    first_age: float,
    prior: Prior,
) -> Paths:
    """Courses that dropped before the first run: their runs tell the level after, the prior the one before."""
    density = np.exp(belief.log_normal_density(after[:, None] - _DROPS, belief.CENTRE, prior.spread))
    even = _even(after.size)
    drop = _DROPS[_picked(density.T, even[:, 2])]
    return Paths(after - drop, slope, first_age * even[:, 3], drop, log_sigma, log_weight)


def _picked(weight: FloatArray, share: FloatArray) -> NDArray[np.intp]:
    """For each column of `weight`, the row in which this share of its sum is reached."""
    rising = np.cumsum(weight, axis=0)
    row: NDArray[np.intp] = (rising < share * rising[-1]).sum(0)
    return np.minimum(row, len(weight) - 1)


def _between(part: Changed, count: int, heat: float) -> Paths:
    (scatters, slopes, befores, afters), log_weight = _cells(part.mass, count, heat)
    even = _even(count)
    gap = _picked((part.past[scatters, slopes, :, befores] * part.since[scatters, slopes, :, afters]).T, even[:, 4])
    before, after = part.before, part.after
    slope = before.slope[slopes] + step(before.slope) * (even[:, 0] - 0.5)
    high = before.level[befores] + before.cell * (even[:, 1] - 0.5) - slope * before.at_age
    low = after.level[afters] + after.cell * (even[:, 2] - 0.5) - slope * after.at_age
    start = part.gaps.after_age[gap]
    changed = start + (part.gaps.until_age[gap] - start) * even[:, 3]
    scatter = before.log_sigma[scatters] + step(before.log_sigma) * (even[:, 5] - 0.5)
    return Paths(high, slope, changed, np.clip(low - high, belief.DROP_LOW, belief.DROP_HIGH), scatter, log_weight)


def ages_to_show(now_years: float) -> FloatArray:
    """Ages of the track: evenly from the service to now, and on for the fan."""
    past = np.linspace(0.0, now_years, PAST_POINTS) if now_years > 0.0 else np.zeros(1)
    return np.concatenate([past, now_years + np.linspace(0.0, FAN_YEARS, FAN_POINTS + 1)[1:]])


def track(paths: Paths, scale_h: float, ages: FloatArray) -> Track:
    """The median run at these ages; a sudden drop after now is not foretold."""
    from tracker.core.ranked import ranked  # noqa: PLC0415 -- half a second, and only who estimates needs it

    singles = Paths(
        *(getattr(paths, field.name).astype(np.float32) for field in fields(Paths))
    )  # far faster than doubles
    levels = singles.level_at(ages[:, None].astype(np.float32))
    at = np.array(_QUANTILES) * (levels.shape[1] - 1)
    below, above = np.floor(at).astype(np.intp), np.ceil(at).astype(np.intp)
    found = ranked(levels, np.stack([below, above], axis=1).ravel())
    points = found[:, ::2] * (1.0 + below - at) + found[:, 1::2] * (at - below)
    low, mid, high = scale_h * np.exp(points.T)
    return Track(tuple(ages.tolist()), tuple(low.tolist()), tuple(mid.tolist()), tuple(high.tolist()))


def passing(paths: Paths, fall: FloatArray | float, now_years: float) -> tuple[float, Passing | None]:
    """Chance that log reserve falls by `fall` within FORECAST_YEARS from now, and the ages by which it does, if ever.

    `fall` is negative, for all courses or for each; a course that needs to fall no more has done so at the service.
    """
    gradual = _years_to(fall, paths.slope)
    later = np.maximum(paths.change_years, _years_to(fall - paths.drop, paths.slope))
    at_once = paths.slope * np.minimum(paths.change_years, 1e6) + paths.drop <= fall
    passed = np.where(at_once, paths.change_years, later)
    passed = np.where(gradual < paths.change_years, gradual, passed)
    passed = np.where(np.asarray(fall) < 0.0, passed, 0.0)
    soon = passed <= now_years + FORECAST_YEARS
    # Between a course that passes and one that never does lies none, so each point is a course's own.
    points = np.quantile(np.where(soon, passed, np.inf), _QUANTILES, method="inverted_cdf")
    low, mid, high = (float(age) if np.isfinite(age) else None for age in points)
    return float(soon.mean()), None if low is None else Passing(low, mid, high)


def _years_to(fall: FloatArray | float, slope: FloatArray) -> FloatArray:
    """Years a slope takes for a fall (negative), inf where it never does."""
    years: FloatArray = np.minimum(fall, 0.0) / np.minimum(slope, -belief.TINY)
    return np.where(slope < 0.0, years, np.inf)
