"""From run-downs to the reserve: what all runs since the last service tell of it, its decline, and the next run."""

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from typing import Any, get_args

from tracker.core import spread
from tracker.core.change import changed
from tracker.core.curve import Curve, curve_from
from tracker.core.evidence import EvidenceKind
from tracker.core.fallen import Fallen, fallen, fallen_from
from tracker.core.likelihood import Rows, Run, rows_of
from tracker.core.paths import Passing, Track, ages_to_show, drawn, passing, track
from tracker.core.peaks import Peak, peaks
from tracker.core.posterior import (
    Posterior,
    Scattered,
    change_years,
    fall_probability,
    gained_bits,
    level_at_service,
    level_now,
    log_scatter,
    slope,
    weigh,
    whatever_scatter,
)
from tracker.core.prior import Prior, prior_for
from tracker.core.spread import Band, Grid
from tracker.core.steady import steady
from tracker.core.telling import Look, Looks, looks, looks_from

__all__ = ["Band", "Curve", "Estimate", "Prior", "Run", "Track", "estimate", "prior_for"]

MODEL_VERSION = 24
"""Raised whenever the same runs would give other figures: cached estimates of another version are void."""


@dataclass(frozen=True, slots=True)
class Estimate:
    """What is known of a reserve. Hours from the full wind; bands are 5, 50, 95 %.

    `reserve_h` is the median run at the present age, `baseline_h` just after service, `per_year` the gradual change of
    log reserve; `fall_probability` that the reserve has fallen by the threshold since service, `sudden_probability`
    that it dropped suddenly. `evidence` counts the runs by kind, `left_out` those that tell nothing. `gained_bits` is
    the information on the present reserve gained over the prior (one bit: as if its range had been halved). `next_run`
    is how long a clean run at the present age lasts.

    `scatter` is the standard deviation of log run lengths. `change_years` is the age of the sudden drop if there was
    one, None where that is hardly believed. `threshold_years` are the ages by which the reserve had or will have
    fallen by the threshold, `threshold_chance` how likely it does within FORECAST_YEARS from now; a sudden drop still to
    come is not foretold. `history` is the median run from the service on.
    `one_of_h` are the humps of the present reserve where it may be one of several (tracker.core.peaks), else empty.
    `fallen` says how much is lost by now (tracker.core.fallen), `looks` what a look at the present run would tell, where
    that was asked for.
    """

    reserve_h: Band
    baseline_h: Band
    per_year: Band
    fall_probability: float
    sudden_probability: float
    evidence: dict[str, int]
    left_out: int
    gained_bits: float
    next_run: Curve
    prior: Prior
    fallen: Fallen
    scatter: Band | None = None
    change_years: Band | None = None
    threshold_years: Passing | None = None
    threshold_chance: float = 0.0
    history: Track | None = None
    looks: Looks | None = None
    one_of_h: tuple[Peak, ...] = ()

    def to_dict(self) -> dict[str, Any]:
        """Return plain values for JSON."""
        return asdict(self)

    @classmethod
    def from_dict(cls, stored: Mapping[str, Any]) -> "Estimate":
        """Read back what `to_dict` gave, also after a round trip through JSON."""
        bands = {name: None if stored[name] is None else Band(**stored[name]) for name in _BANDS}
        curve = {**stored["next_run"], "still_going": tuple(stored["next_run"]["still_going"])}
        history = stored["history"] and Track(**{name: tuple(points) for name, points in stored["history"].items()})
        parts = {
            "next_run": Curve(**curve),
            "history": history,
            "threshold_years": stored["threshold_years"] and Passing(**stored["threshold_years"]),
            "prior": Prior(**stored["prior"]),
            "looks": stored["looks"] and looks_from(stored["looks"]),
            "fallen": fallen_from(stored["fallen"]),
            "one_of_h": tuple(Peak(each["share"], Band(**each["band"])) for each in stored["one_of_h"]),
        }
        return cls(**{**stored, **bands, **parts})


_ANY_FALL = -1.0
"""Where nobody asks for falls."""
_BANDS = ("reserve_h", "baseline_h", "per_year", "scatter", "change_years")


def estimate(
    runs: Sequence[Run],
    prior: Prior,
    *,
    now_years: float,
    threshold: float = 0.10,
    least_h: float | None = None,
    look: Look | None = None,
) -> Estimate:
    """Work out the posterior of the model in tracker.core.prior, at `now_years` since the last service.

    `threshold` is the share of the reserve whose loss counts as a fall, `least_h` the owner's least reserve if there is
    one, `look` the run whose looks are to be weighed. No run may be older than `now_years`.
    """
    return _estimate(runs, prior, now_years, threshold, least_h=least_h, look=look)


def _estimate(
    runs: Sequence[Run],
    prior: Prior,
    now_years: float,
    threshold: float,
    *,
    least_h: float | None = None,
    look: Look | None = None,
    sudden: bool = True,
) -> Estimate:
    """As `estimate`; without the thought of sudden changes for comparison only."""
    fall = math.log1p(-threshold)
    posterior = _posterior(rows_of(runs, prior.scale_h), prior, now_years, fall, sudden=sudden)
    grid, scattered = level_now(posterior, now_years)
    level = whatever_scatter(scattered)
    paths = drawn(posterior, prior, now_years)
    threshold_chance, threshold_years = passing(paths, fall, now_years)
    kinds = Counter(run.evidence.kind for run in runs)
    return Estimate(
        reserve_h=_in_hours(spread.band(grid, level), prior),
        baseline_h=_in_hours(spread.band(*level_at_service(posterior, prior)), prior),
        per_year=spread.band(*slope(posterior)),
        fall_probability=fall_probability(posterior, prior, now_years, fall),
        sudden_probability=posterior.sudden,
        evidence={kind: kinds[kind] for kind in get_args(EvidenceKind) if kind != "none"},
        left_out=kinds["none"],
        gained_bits=gained_bits(grid, level, prior, now_years),
        next_run=_lasting(grid, scattered, prior),
        prior=prior,
        scatter=_exp(spread.band(*log_scatter(posterior))),
        change_years=change_years(posterior, now_years),
        threshold_years=threshold_years,
        threshold_chance=threshold_chance,
        history=track(paths, prior.scale_h, ages_to_show(now_years)),
        looks=looks(grid, scattered, prior.scale_h, seen_going_h=look.after_h, dial_hours=look.dial_hours)
        if look
        else None,
        one_of_h=tuple(replace(each, band=_in_hours(each.band, prior)) for each in peaks(grid, level)),
        fallen=fallen(paths, now_years, threshold, least_h and least_h / prior.scale_h),
    )


def _posterior(rows: Rows, prior: Prior, now_years: float, fall: float, *, sudden: bool = True) -> Posterior:
    one_side = steady(rows, prior, now_years, sudden=sudden)
    return weigh(one_side, changed(rows, prior, now_years, fall, one_side) if sudden else None)


def posterior_of(runs: Sequence[Run], prior: Prior, *, now_years: float) -> Posterior:
    """What `estimate` reads its figures off, but for those of a fall."""
    return _posterior(rows_of(runs, prior.scale_h), prior, now_years, _ANY_FALL)


def reserve_now(runs: Sequence[Run], prior: Prior, *, now_years: float) -> Band:
    """The `reserve_h` of `estimate` alone."""
    grid, scattered = level_now(posterior_of(runs, prior, now_years=now_years), now_years)
    return _in_hours(spread.band(grid, whatever_scatter(scattered)), prior)


def next_run(runs: Sequence[Run], prior: Prior, *, now_years: float) -> Curve:
    """The `next_run` of `estimate` alone."""
    return _lasting(*level_now(posterior_of(runs, prior, now_years=now_years), now_years), prior)


def _lasting(grid: Grid, scattered: list[Scattered], prior: Prior) -> Curve:
    return curve_from(grid.centre + math.log(prior.scale_h), spread.survival(grid, scattered))


def _in_hours(log_ratio: Band, prior: Prior) -> Band:
    return _exp(log_ratio, prior.scale_h)


def _exp(logs: Band, scale: float = 1.0) -> Band:
    return Band(*(scale * math.exp(point) for point in (logs.low, logs.mid, logs.high)))
