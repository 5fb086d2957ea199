import math

import pytest

from tracker.core.evidence import exact
from tracker.core.likelihood import Run, rows_of
from tracker.core.posterior import (
    fall_probability,
    gained_bits,
    level_at_service,
    level_now,
    slope,
    weigh,
    whatever_scatter,
)
from tracker.core.prior import prior_for
from tracker.core.spread import band
from tracker.core.steady import steady

PRIOR = prior_for(42.0)
NOTHING = weigh(steady(rows_of([], 42.0), PRIOR, 0.0), None)
SOME = weigh(steady(rows_of([Run(1.0, exact(40.0)), Run(1.2, exact(41.0))], 42.0), PRIOR, 2.0), None)


def test_the_masses_sum_to_one() -> None:
    assert SOME.steady.total == pytest.approx(1.0)
    assert SOME.sudden == pytest.approx(1.0 - SOME.steady.kept.sum())


def test_without_runs_slope_and_level_are_the_priors() -> None:
    per_year, first = band(*slope(NOTHING)), band(*level_at_service(NOTHING, PRIOR))
    assert (per_year.low, per_year.mid, per_year.high) == pytest.approx((-0.0758, -0.01, 0.0558), abs=5e-4)
    assert (first.low, first.mid, first.high) == pytest.approx((-0.2174, -0.02, 0.1774), abs=1e-3)


def test_the_level_at_service_is_the_level_now_when_now_is_the_service() -> None:
    grid, parts = level_now(NOTHING, 0.0)
    now, first = band(grid, whatever_scatter(parts)), band(*level_at_service(NOTHING, PRIOR))
    assert (now.low, now.mid, now.high) == pytest.approx((first.low, first.mid, first.high), abs=1e-3)


def test_every_fall_is_less_likely_than_a_smaller_one() -> None:
    chances = [fall_probability(SOME, PRIOR, 2.0, math.log(1.0 - share)) for share in (0.01, 0.05, 0.1, 0.3, 0.6)]
    assert chances == sorted(chances, reverse=True)
    assert 0.0 <= chances[-1] < chances[0] < 1.0


def test_nothing_is_gained_without_runs_and_something_with() -> None:
    grid, parts = level_now(SOME, 2.0)
    assert gained_bits(grid, whatever_scatter(parts), PRIOR, 2.0) > 0.8
    grid, parts = level_now(NOTHING, 0.0)
    assert gained_bits(grid, whatever_scatter(parts), PRIOR, 0.0) < 0.005
