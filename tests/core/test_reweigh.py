import math

import numpy as np
import pytest

from tracker.core import reweigh
from tracker.core.evidence import Evidence, at_least, at_most, between, exact
from tracker.core.likelihood import Plane, Run, log_likelihood, rows_of
from tracker.core.paths import Paths

RUNS = [
    Run(0.5, exact(40.0)),
    Run(1.0, between(36.0, 44.0)),
    Run(1.5, at_least(30.0)),
    Run(2.0, at_most(50.0)),
    Run(2.5, Evidence("one_of", ((28.0, 28.3), (40.0, 40.3)))),
]


def course(
    level: float, slope: float, *, change_years: float = math.inf, drop: float = 0.0, sigma: float = 0.05
) -> Paths:
    """One course of log(T / 42 h)."""
    return Paths(*(np.array([value]) for value in (level, slope, change_years, drop, math.log(sigma), 0.0)))


@pytest.mark.parametrize("run", RUNS, ids=lambda run: run.evidence.kind)
def test_a_run_is_as_likely_under_a_course_as_on_the_lattice(run: Run) -> None:
    at_zero = Plane(np.array([math.log(0.05)]), np.array([-0.02]), np.array([-0.03]), 0.0)
    expected = log_likelihood(rows_of([run], 42.0), at_zero)[0, 0, 0, 0]
    assert reweigh.log_likelihood(course(-0.03, -0.02), [run], 42.0)[0] == pytest.approx(expected, abs=1e-5)


def test_runs_after_a_drop_are_judged_by_the_level_after_it() -> None:
    dropped, low = course(0.0, 0.0, change_years=1.0, drop=-0.3), course(-0.3, 0.0)
    after, before = [Run(1.5, exact(31.0))], [Run(0.5, exact(31.0))]
    assert reweigh.log_likelihood(dropped, after, 42.0) == pytest.approx(reweigh.log_likelihood(low, after, 42.0))
    assert reweigh.log_likelihood(dropped, before, 42.0)[0] < reweigh.log_likelihood(low, before, 42.0)[0]


def test_runs_together_are_as_likely_as_one_after_the_other() -> None:
    path = course(-0.03, -0.02)
    together = reweigh.log_likelihood(path, RUNS, 42.0)
    assert together == pytest.approx(sum(reweigh.log_likelihood(path, [run], 42.0) for run in RUNS))


def test_weights_sum_to_one_however_small_they_are() -> None:
    assert reweigh.weights(np.array([-5000.0, -5000.0 + math.log(3.0)])) == pytest.approx([0.25, 0.75])


def test_a_band_of_equal_weights_is_that_of_the_values() -> None:
    values = np.random.default_rng(3).normal(size=4001)
    found = reweigh.band(values, np.full(4001, 1 / 4001))
    assert (found.low, found.mid, found.high) == pytest.approx(np.quantile(values, [0.05, 0.5, 0.95]), abs=3e-3)


def test_a_tail_that_rests_on_one_course_counts_as_one() -> None:
    values = np.linspace(0.0, 1.0, 1001)
    weight = np.ones(1001)
    weight[3] = 40.0
    assert reweigh.least_in_tail(values, np.full(1001, 1 / 1001)) == pytest.approx(50, abs=1.5)
    assert reweigh.least_in_tail(values, weight / weight.sum()) < 2
