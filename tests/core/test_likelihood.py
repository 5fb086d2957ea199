import math

import numpy as np
import pytest
from scipy.stats import norm

from tracker.core.evidence import NONE, Evidence, at_least, at_most, between, exact
from tracker.core.likelihood import BIN_LOG_H, Plane, Run, log_likelihood, rows_of

PLANE = Plane(np.log([0.03, 0.1]), np.array([-0.02, 0.0, 0.01]), np.linspace(-0.3, 0.2, 7), 1.0)
HANDS = Evidence("one_of", ((28.0, 28.4), (40.0, 40.4)))
AGE = 3.0


def by_scipy(spans: tuple[tuple[float, float], ...], mean: float, sigma: float) -> float:
    ends = [[math.log(end / 42.0) if end > 0.0 else -math.inf for end in span] for span in spans]
    if len(spans) == 1 and spans[0][0] == spans[0][1]:
        return float(norm.pdf(ends[0][0], mean, sigma))
    return float(sum(norm.cdf(high, mean, sigma) - norm.cdf(low, mean, sigma) for low, high in ends))


@pytest.mark.parametrize("evidence", [exact(41.0), between(30.0, 44.0), at_least(36.0), at_most(43.0), HANDS])
def test_each_kind_is_a_mixture_of_a_clean_and_an_odd_run(evidence: Evidence) -> None:
    found = log_likelihood(rows_of([Run(AGE, evidence)], 42.0), PLANE)[0]
    for i, sigma in enumerate(np.exp(PLANE.log_sigma)):
        for j, slope in enumerate(PLANE.slope):
            for k, level in enumerate(PLANE.level):
                clean = by_scipy(evidence.spans_h, float(level + slope * (AGE - 1.0)), float(sigma))
                odd = by_scipy(evidence.spans_h, -0.20, 0.50)
                assert found[i, j, k] == pytest.approx(math.log(0.97 * clean + 0.03 * odd), abs=2e-5)


def test_stretches_between_splits_add_up_to_the_whole() -> None:
    runs = [Run(0.5 * i, between(30.0 + i, 44.0)) for i in range(6)]
    rows = rows_of(runs, 42.0)
    parts = log_likelihood(rows, PLANE, np.array([0.0, 1.0, 2.2]))
    assert parts.sum(0) == pytest.approx(log_likelihood(rows, PLANE)[0])
    assert parts[1] == pytest.approx(log_likelihood(rows_of(runs[1:3], 42.0), PLANE)[0])


def test_what_tells_nothing_has_no_row() -> None:
    assert rows_of([Run(1.0, NONE), Run(2.0, at_least(0.0))], 42.0).ages.size == 0


def test_at_least_rows_of_one_month_and_bin_become_one_with_a_weight() -> None:
    hours = 40.0 * math.exp(BIN_LOG_H / 10.0)
    rows = rows_of([Run(0.01, at_least(40.0)), Run(0.03, at_least(hours)), Run(0.20, at_least(40.0))], 40.0)
    (batch,) = rows.batches
    assert sorted(zip(batch.age.round(9), batch.weight, strict=True)) == [(0.02, 2.0), (0.20, 1.0)]


def test_ends_are_never_merged() -> None:
    rows = rows_of([Run(0.01, exact(40.0)), Run(0.01, exact(40.0)), Run(0.02, at_most(44.0))], 40.0)
    assert sum(batch.age.size for batch in rows.batches) == 3


def test_moments_that_no_reserve_reaches_cost_nothing() -> None:
    near = [(5.0 + 12 * i, 5.4 + 12 * i) for i in range(60)]
    far = [(5.0 + 12 * i, 5.4 + 12 * i) for i in range(90, 2000)]
    few, many = (rows_of([Run(1.0, Evidence("one_of", tuple(spans)))], 42.0) for spans in (near, near + far))
    assert np.array_equal(few.edges, many.edges)
    (late,) = rows_of([Run(1.0, Evidence("one_of", tuple(far)))], 42.0).batches
    assert late.edge.size == 2
