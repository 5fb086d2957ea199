"""The compiled loops beside scipy's normal distribution, point by point."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from tracker.core import mixture
from tracker.core.evidence import Evidence, at_least, at_most, between, exact
from tracker.core.likelihood import Plane, log_likelihood
from tracker.core.normal import FloatArray
from tracker.core.rows import FLOOR, ODD_CENTRE, ODD_SHARE, ODD_SPREAD, Run, rows_of
from tracker.core.together import CLOSE_AGES, ROUGH_AGES, OneAge

SCALE_H = 42.0
HOURS = st.floats(20.0, 70.0)
AGES = st.floats(0.0, 5.0)
NEAR = 12.0
"""Points whose logarithm lies further below the highest weigh nothing."""


def hands(first_h: float, number: int, tolerance_h: float) -> Evidence:
    moments = [first_h + 12.0 * turns for turns in range(number)]
    return Evidence("one_of", tuple((at - tolerance_h, at + tolerance_h) for at in moments))


EVIDENCE = st.one_of(
    st.builds(exact, HOURS),
    st.builds(at_least, HOURS),
    st.builds(at_most, HOURS),
    st.builds(lambda low, more: between(low, low + more), HOURS, st.floats(0.5, 40.0)),
    st.builds(hands, st.floats(5.0, 16.0), st.integers(1, 6), st.floats(0.05, 0.6)),
)
RUNS = st.lists(st.builds(Run, AGES, EVIDENCE), min_size=1, max_size=8)


@st.composite
def planes(draw: st.DrawFn) -> Plane:
    least, low, steep = draw(st.floats(0.004, 0.1)), draw(st.floats(-0.6, 0.2)), draw(st.floats(-0.1, 0.05))
    return Plane(
        np.log(least * np.array([1.0, 2.0, 5.0])),
        steep + draw(st.floats(1e-4, 0.08)) * np.linspace(0.0, 1.0, draw(st.integers(1, 5))),
        low + draw(st.floats(0.01, 0.8)) * np.linspace(0.0, 1.0, draw(st.integers(2, 40))),
        draw(st.floats(0.0, 5.0)),
    )


def of_normal(run: Run, mean: FloatArray, sigma: FloatArray) -> FloatArray:
    """What a normal says of a run: the shares of its intervals, or the density at a known moment."""
    spans = np.log(np.maximum(np.array(run.evidence.spans_h), 1e-300) / SCALE_H)
    if run.evidence.kind == "exact":
        return np.asarray(norm.pdf(spans[0, 0], mean, sigma))
    rows = rows_of([run], SCALE_H)
    share = rows.sign if rows.moments[0] else np.ones(len(spans))
    held = [norm.cdf(high, mean, sigma) - norm.cdf(low, mean, sigma) for low, high in spans]
    return np.asarray(sum(each * weight for each, weight in zip(held, share, strict=True)))


def said(run: Run, plane: Plane) -> FloatArray:
    """The log of the mixture of a clean and an odd run."""
    clean = of_normal(run, plane.level_at(run.age_years)[None], np.exp(plane.log_sigma)[:, None, None])
    odd = of_normal(run, np.array(ODD_CENTRE), np.array(ODD_SPREAD))
    return np.log(np.maximum((1.0 - ODD_SHARE) * clean + ODD_SHARE * odd, FLOOR))


def plainly(runs: list[Run], plane: Plane) -> FloatArray:
    return sum((said(run, plane) for run in runs), np.zeros(plane.shape))


@settings(deadline=None)
@given(RUNS, planes())
def test_every_row_says_at_every_point_what_the_normal_distribution_says(runs: list[Run], plane: Plane) -> None:
    rows = rows_of(runs, SCALE_H)
    found, expected = log_likelihood(rows, plane)[0], plainly(runs, plane)
    near = expected > expected.max() - NEAR
    # A short interval is taken as the density of a wider normal where it is no longer than two scatters: right to 0.08 far out.
    moments = int((rows.width[rows.first] > 0.0).sum())
    # Singles hold a probability to 2e-7: of one that is hardly more, its logarithm is less sure.
    unsure = sum(2e-7 * np.exp(-said(run, plane)) for run in runs)
    assert np.all((np.abs(found - expected) <= 2e-3 * len(runs) + 0.08 * moments + unsure)[near])


def test_the_normal_distribution_is_that_of_scipy() -> None:
    z = np.linspace(-6.0, 6.0, 2401)[::-1]
    below, density = np.zeros(z.size, np.float32), np.zeros(z.size, np.float32)
    mixture.add_cdf(below, 6.0, 0.005, 1.0)
    mixture.add_pdf(density, 6.0, 0.005, 1.0)
    assert below == pytest.approx(norm.cdf(z), abs=2e-7)
    assert density == pytest.approx(norm.pdf(z), rel=1e-5)
    beyond = np.zeros(2, np.float32)
    mixture.add_cdf(beyond, 12.0, 24.0, 3.0)
    assert beyond == pytest.approx([3.0, 0.0], abs=1e-6)
    mixture.add_pdf(beyond, 40.0, 80.0, 1.0)
    assert beyond == pytest.approx([3.0, 0.0], abs=1e-6)


@pytest.mark.parametrize("wide", [0.01, 1.0])
def test_rows_of_nearly_one_age_say_together_what_they_say_one_by_one(wide: float) -> None:
    rng = np.random.default_rng(7)
    kinds = [exact, at_least, at_most]
    runs = [
        Run(float(age), kinds[place % 3](float(hours)))
        for place, (age, hours) in enumerate(
            zip(rng.uniform(0, 4, 600), 41 * np.exp(rng.normal(0, 0.03, 600)), strict=True)
        )
    ]
    plane = Plane(
        np.log([0.01, 0.02, 0.04]), wide * np.linspace(-0.02, 0.02, 7), wide * np.linspace(-0.06, 0.03, 24), 2.0
    )
    found, expected = log_likelihood(rows_of(runs, SCALE_H), plane)[0], plainly(runs, plane)
    near = expected > expected.max() - NEAR
    assert np.abs((found - expected)[near]).max() < 0.1


@pytest.mark.parametrize("one_age", [CLOSE_AGES, ROUGH_AGES])
@pytest.mark.parametrize("seed", range(3))
def test_rows_read_from_one_table_tell_of_the_slope_as_nearly_as_is_said(one_age: OneAge, seed: int) -> None:
    rng = np.random.default_rng(seed)
    hours, ages = 41 * np.exp(rng.normal(0, 0.03, 400)), rng.uniform(0, 8, 400)
    rows = rows_of([Run(float(age), exact(float(hour))) for age, hour in zip(ages, hours, strict=True)], SCALE_H)
    plane = Plane(np.log([0.028, 0.03, 0.032]), np.linspace(-0.004, 0.004, 25), np.linspace(-0.035, -0.012, 30), 4.0)

    def slope(one_age: OneAge) -> tuple[float, float]:
        logs = log_likelihood(rows, plane, one_age=one_age)[0]
        share = np.exp(logs - logs.max()).sum((0, 2))
        mean = float(share @ plane.slope / share.sum())
        return mean, float(np.sqrt(share @ (plane.slope - mean) ** 2 / share.sum()))

    alone, spread = slope(OneAge(0.0, 1e9))
    found, widened = slope(one_age)
    assert 0.0 < abs(found - alone) < 3.0 * spread / one_age.parts
    assert widened == pytest.approx(spread, rel=1.0 / one_age.parts)


def test_rows_count_with_their_weight_and_stretches_add_up() -> None:
    runs = [Run(0.01 * place, at_least(39.0) if place % 7 else exact(41.0)) for place in range(700)]
    plane = Plane(np.log([0.02, 0.05]), np.linspace(-0.02, 0.02, 5), np.linspace(-0.1, 0.1, 21), 3.0)
    rows, splits = rows_of(runs, SCALE_H), np.array([1.0, 1.005, 4.0])
    whole = log_likelihood(rows, plane)[0]
    assert log_likelihood(rows, plane, splits).sum(0) == pytest.approx(whole, abs=0.1)
    near = whole > whole.max() - NEAR
    assert log_likelihood(rows.thinned(5), plane)[0][near] == pytest.approx(whole[near], abs=0.5)


def test_far_beyond_its_edges_a_row_says_only_that_it_may_be_wrong() -> None:
    rows = rows_of([Run(1.0, between(60.0, 65.0)), Run(2.0, at_least(60.0))], SCALE_H)
    found = log_likelihood(rows, Plane(np.log([0.003, 0.004]), np.zeros(1), np.linspace(-3.0, -2.0, 5), 1.0))
    assert found == pytest.approx(np.log(ODD_SHARE * rows.odd).sum())
