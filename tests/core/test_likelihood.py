import math

import numpy as np
import pytest
from scipy.stats import norm

from tracker.core.evidence import Evidence, at_least, at_most, between, exact
from tracker.core.likelihood import Plane, Run, log_likelihood, rows_of
from tracker.core.normal import FloatArray

SIGMAS, SLOPES, LEVELS = np.log([0.03, 0.1]), np.array([-0.02, 0.0, 0.01]), np.linspace(-0.3, 0.2, 7)
PLANE = Plane(SIGMAS, np.linspace(-0.03, 0.03, 9), np.linspace(-0.1, 0.1, 25), 1.0)
HANDS = Evidence("one_of", ((28.0, 28.4), (40.0, 40.4)))
AGE = 3.0
MANY = [
    Run(0.02 * i, (exact, at_least, at_most)[i % 3](hours))
    for i, hours in enumerate(np.random.default_rng(4).normal(41.0, 1.5, 150))
]


def by_scipy(spans: tuple[tuple[float, float], ...], mean: float, sigma: float) -> float:
    ends = [[math.log(end / 42.0) if end > 0.0 else -math.inf for end in span] for span in spans]
    if len(spans) == 1 and spans[0][0] == spans[0][1]:
        return float(norm.pdf(ends[0][0], mean, sigma))
    return float(sum(norm.cdf(high, mean, sigma) - norm.cdf(low, mean, sigma) for low, high in ends))


def said_together(plane: Plane) -> FloatArray:
    found: FloatArray = log_likelihood(rows_of(MANY, 42.0), plane)[0]
    return found


def one_by_one(runs: list[Run], plane: Plane) -> FloatArray:
    """Each run by itself and at each slope alone, where nothing is read between the points of a table."""
    alone = [Plane(plane.log_sigma, slope[None], plane.level, plane.at_age) for slope in plane.slope]
    rows = [rows_of([run], 42.0) for run in runs]
    lines: list[FloatArray] = [np.sum([log_likelihood(row, line)[0] for row in rows], axis=0) for line in alone]
    joined: FloatArray = np.concatenate(lines, axis=1)
    return joined


@pytest.mark.parametrize("evidence", [exact(41.0), between(30.0, 44.0), at_least(36.0), at_most(43.0), HANDS])
@pytest.mark.parametrize("slope", SLOPES)
def test_each_kind_is_a_mixture_of_a_clean_and_an_odd_run(evidence: Evidence, slope: float) -> None:
    found = log_likelihood(rows_of([Run(AGE, evidence)], 42.0), Plane(SIGMAS, np.array([slope]), LEVELS, 1.0))[0, :, 0]
    for i, sigma in enumerate(np.exp(SIGMAS)):
        for k, level in enumerate(LEVELS):
            clean = by_scipy(evidence.spans_h, float(level + slope * (AGE - 1.0)), float(sigma))
            odd = by_scipy(evidence.spans_h, -0.20, 0.50)
            # An interval about a moment is taken as a wider normal's density: nearly the same.
            within = 1e-3 if evidence == HANDS else 1e-4
            assert found[i, k] == pytest.approx(math.log(0.97 * clean + 0.03 * odd), abs=within)


def test_many_rows_say_together_what_they_say_one_by_one() -> None:
    found, expected = (np.exp(logs - logs.max()) for logs in (said_together(PLANE), one_by_one(MANY, PLANE)))
    assert np.abs(found / found.sum() - expected / expected.sum()).sum() < 0.04


def test_a_lattice_many_times_finer_than_the_scatter_is_read_as_exactly() -> None:
    plane = Plane(np.log([0.03, 0.04]), np.linspace(-0.015, 0.0, 7), np.linspace(-0.04, -0.01, 31), 1.5)
    found, expected = said_together(plane), one_by_one(MANY, plane)
    assert found - found.max() == pytest.approx(expected - expected.max(), abs=0.05)


def test_stretches_between_splits_add_up_to_the_whole() -> None:
    runs = [Run(0.5 * i, between(30.0 + i, 44.0)) for i in range(6)]
    plane = Plane(SIGMAS, np.zeros(1), LEVELS, 1.0)
    parts = log_likelihood(rows_of(runs, 42.0), plane, np.array([0.0, 1.0, 2.2]))
    assert parts.sum(0) == pytest.approx(log_likelihood(rows_of(runs, 42.0), plane)[0])
    assert parts[1] == pytest.approx(log_likelihood(rows_of(runs[1:3], 42.0), plane)[0])


def test_a_stretch_without_rows_says_nothing() -> None:
    parts = log_likelihood(rows_of(MANY[:5], 42.0), PLANE, np.array([0.05, 0.055, 9.0]))
    assert [bool(part.any()) for part in parts] == [True, False, True, False]


def test_still_going_is_never_likelier_than_certain_however_coarse_the_plane() -> None:
    rng = np.random.default_rng(981)
    runs = [Run(0.004 * i, at_least(float(lasted))) for i, lasted in enumerate(24.0 + 1.3 * rng.normal(size=400))]
    plane = Plane(
        np.linspace(math.log(0.003), math.log(0.3), 6), np.linspace(-0.15, 0.15, 9), np.linspace(-1.07, 0.52, 27), 0.8
    )
    told = log_likelihood(rows_of(runs, 42.0), plane, np.linspace(0.0, 1.6, 40))
    assert told.max() <= 1e-9
