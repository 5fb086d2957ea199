import json
import math
import random

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from tracker.core.evidence import NONE, Evidence, at_least, at_most, between, exact
from tracker.core.reserve import Estimate, Run, estimate, next_run, prior_for
from tracker.core.watch import ReserveClass
from tracker.core.windby import hours_at_risk

STATED = prior_for(42.0)


def mixed(count: int, years: float, *, seed: int = 1, sigma: float = 0.03, centre_h: float = 41.0) -> list[Run]:
    rng, runs = random.Random(seed), []
    for _ in range(count):
        hours = centre_h * math.exp(rng.gauss(0.0, sigma))
        low, high = hours * rng.uniform(0.7, 0.97), hours * rng.uniform(1.03, 1.3)
        hands = Evidence("one_of", ((hours - 12.2, hours - 11.8), (hours - 0.2, hours + 0.2)))
        kinds = [at_least(low), at_least(low), exact(hours), between(low, high), at_most(high), hands]
        runs.append(Run(rng.uniform(0.0, years), rng.choice(kinds)))
    return runs


def figures(found: Estimate) -> list[float]:
    """All hours of an estimate, wind-bys included."""
    bands = (found.reserve_h, found.baseline_h)
    wind_by = [hours_at_risk(found.next_run, p) for p in (0.005, 0.05, 0.5, 0.95, 0.999)]
    return [*(point for band in bands for point in (band.low, band.mid, band.high)), *wind_by]


def chances(found: Estimate) -> tuple[float, float]:
    return found.fall_probability, found.sudden_probability


def test_without_runs_the_prior_is_the_answer() -> None:
    found = estimate([], STATED, now_years=0.0)
    expected = [42.0 * math.exp(-0.02 + z * 0.12) for z in (-1.6449, 0.0, 1.6449)]
    assert [found.reserve_h.low, found.reserve_h.mid, found.reserve_h.high] == pytest.approx(expected, rel=1e-3)
    assert (found.gained_bits, found.sudden_probability) == pytest.approx((0.0, 0.0), abs=5e-3)


def test_without_runs_a_change_is_as_likely_as_the_prior_has_it() -> None:
    found = estimate([], STATED, now_years=4.0)
    assert found.sudden_probability == pytest.approx(1.0 - math.exp(-0.12), abs=1e-4)


@pytest.mark.parametrize(
    ("stated_h", "reserve_class", "expected"),
    [
        (38.0, None, (38.0, 0.12, "stated")),
        (38.0, "eight days", (38.0, 0.12, "stated")),
        (None, "eight days", (192.0, 0.25, "class")),
        (None, None, (42.0, 0.35, "none")),
    ],
)
def test_the_prior_says_where_it_comes_from(
    stated_h: float | None, reserve_class: ReserveClass | None, expected: tuple[float, float, str]
) -> None:
    prior = prior_for(stated_h, reserve_class)
    assert (prior.scale_h, prior.spread, prior.source) == expected


@settings(max_examples=10, deadline=None)
@given(st.integers(0, 10_000), st.integers(1, 14))
def test_the_order_of_the_runs_does_not_matter(seed: int, count: int) -> None:
    runs = mixed(count, 3.0, seed=seed)
    again = runs.copy()
    random.Random(seed).shuffle(again)
    assert figures(estimate(again, STATED, now_years=3.0)) == pytest.approx(
        figures(estimate(runs, STATED, now_years=3.0)), rel=1e-9
    )


@settings(max_examples=10, deadline=None)
@given(st.integers(0, 10_000), st.floats(0.2, 20.0))
def test_other_units_of_time_give_the_same_answer_in_those_units(seed: int, times: float) -> None:
    runs = mixed(8, 3.0, seed=seed)
    scaled = [
        Run(run.age_years, Evidence(run.evidence.kind, tuple((times * a, times * b) for a, b in run.evidence.spans_h)))
        for run in runs
    ]
    plain = estimate(runs, STATED, now_years=3.0)
    other = estimate(scaled, prior_for(42.0 * times), now_years=3.0)
    assert [hours / times for hours in figures(other)] == pytest.approx(figures(plain), rel=1e-4)
    assert chances(other) == pytest.approx(chances(plain), abs=1e-4)


@example(205)
@example(271)
@settings(max_examples=8, deadline=None)
@given(st.integers(0, 10_000))
def test_going_after_an_hour_tells_next_to_nothing(seed: int) -> None:
    runs = mixed(6, 2.0, seed=seed)
    more = [*runs, *(Run(0.1 * i, at_least(1.0)) for i in range(20))]
    plain, other = (estimate(these, STATED, now_years=2.0) for these in (runs, more))
    assert figures(other) == pytest.approx(figures(plain), rel=6e-3)
    assert chances(other) == pytest.approx(chances(plain), abs=6e-3)


def test_a_run_that_tells_nothing_is_left_out_and_counted() -> None:
    runs = mixed(5, 2.0)
    found = estimate([*runs, Run(1.0, NONE)], STATED, now_years=2.0)
    assert (found.left_out, sum(found.evidence.values())) == (1, 5)
    assert figures(found) == figures(estimate(runs, STATED, now_years=2.0))


def test_more_stops_tell_more() -> None:
    gained = [estimate(mixed(n, 3.0), STATED, now_years=3.0).gained_bits for n in (0, 3, 12, 60)]
    assert gained == sorted(gained)
    assert gained[0] == pytest.approx(0.0, abs=0.01)
    assert gained[-1] > 2.0


@pytest.mark.parametrize("stated_h", [21.0, 84.0, 420.0])
def test_a_badly_wrong_stated_reserve_gives_way_to_the_stops(stated_h: float) -> None:
    stops = [run for run in mixed(40, 1.0) if run.evidence.kind == "exact"]
    stops += [Run(0.05 * i, exact(41.0 + 0.3 * (i % 5))) for i in range(20)]
    assert estimate(stops, prior_for(stated_h), now_years=1.0).reserve_h.mid == pytest.approx(41.2, rel=0.04)


def test_a_drop_is_told_from_a_steady_watch() -> None:
    steady = [Run(0.1 * i, exact(41.0 + 0.4 * (i % 4))) for i in range(1, 20)]
    dropped = [Run(r.age_years, exact(r.evidence.spans_h[0][0] * (0.75 if r.age_years > 1.2 else 1.0))) for r in steady]
    calm, hit = (estimate(runs, STATED, now_years=2.0) for runs in (steady, dropped))
    assert calm.sudden_probability < 0.02
    assert hit.sudden_probability > 0.98
    assert hit.reserve_h.mid == pytest.approx(0.75 * hit.baseline_h.mid, rel=0.05)


def test_a_few_forgotten_windings_do_not_move_the_reserve() -> None:
    stops = [Run(0.1 * i, exact(41.0 + 0.4 * (i % 4))) for i in range(1, 20)]
    odd = [*stops, Run(0.55, exact(80.0)), Run(1.15, exact(15.0))]
    plain, other = (estimate(runs, STATED, now_years=2.0) for runs in (stops, odd))
    assert other.reserve_h.mid == pytest.approx(plain.reserve_h.mid, rel=0.005)


DEGENERATE = {
    "all at age nought": [Run(0.0, exact(40.0 + i)) for i in range(4)],
    "one exact": [Run(0.7, exact(33.3))],
    "twins": [Run(0.5, exact(41.0))] * 50,
    "nothing but lower bounds far below": [Run(0.01 * i, at_least(2.0)) for i in range(100)],
    "nothing but lower bounds far above": [Run(0.01 * i, at_least(400.0)) for i in range(100)],
    "a bound of nought": [Run(0.5, at_least(0.0))],
    "upper bounds far below": [Run(0.1 * i, at_most(0.5)) for i in range(10)],
    "wild": [Run(0.05 * i, exact(float(1 + (i * 37) % 200))) for i in range(20)],
    "absurd": [Run(0.5, exact(1e6)), Run(0.6, exact(1e-6)), Run(0.7, at_least(1e5))],
    "moments without a width": [Run(0.5, Evidence("one_of", ((28.0, 28.0), (40.0, 40.0))))],
    "an interval without a width": [Run(0.5, between(40.0, 40.0))],
    "a moment and a span": [Run(0.5, Evidence("one_of", ((28.0, 28.0), (39.0, 40.0))))],
}


@pytest.mark.parametrize("runs", DEGENERATE.values(), ids=DEGENERATE)
@pytest.mark.parametrize("now_years", [1.0, 60.0])
def test_whatever_the_log_says_there_are_figures(runs: list[Run], now_years: float) -> None:
    found = estimate(runs, STATED, now_years=now_years)
    values = [*figures(found), *chances(found), found.gained_bits, found.per_year.low, found.per_year.high]
    assert np.isfinite(values).all()
    assert found.reserve_h.low <= found.reserve_h.mid <= found.reserve_h.high
    assert all(0.0 <= chance <= 1.0 for chance in chances(found))


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.tuples(st.floats(0.0, 3.0), st.floats(0.1, 500.0), st.floats(1.0, 3.0), st.integers(0, 3)), max_size=12)
)
def test_any_runs_give_figures_in_order(drawn: list[tuple[float, float, float, int]]) -> None:
    makers = (lambda h, _: exact(h), lambda h, r: between(h, h * r), lambda h, _: at_least(h), lambda h, _: at_most(h))
    runs = [Run(age, makers[kind](hours, ratio)) for age, hours, ratio, kind in drawn]
    found = estimate(runs, STATED, now_years=3.0)
    assert np.isfinite([*figures(found), found.gained_bits]).all()
    assert all(0.0 <= chance <= 1.0 for chance in chances(found))
    assert list(found.next_run.still_going) == sorted(found.next_run.still_going, reverse=True)


def test_thousands_of_runs_are_taken() -> None:
    runs = [Run(i / 365.25, at_least(23.0 + (i % 7) * 0.4)) for i in range(3_000)] + mixed(100, 8.0)
    found = estimate(runs, STATED, now_years=8.3)
    assert found.reserve_h.mid == pytest.approx(41.0, rel=0.03)


def test_an_estimate_survives_storage_as_json() -> None:
    found = estimate(mixed(12, 2.0), STATED, now_years=2.0)
    assert Estimate.from_dict(json.loads(json.dumps(found.to_dict()))) == found


def test_how_long_the_next_run_lasts_is_told_alone_as_well() -> None:
    runs = [Run(0.2 * i, exact(41.0 - 0.3 * i)) for i in range(9)]
    assert next_run(runs, prior_for(42.0), now_years=2.0) == estimate(runs, prior_for(42.0), now_years=2.0).next_run


def test_hands_that_drift_do_not_lengthen_a_reserve_that_only_they_tell() -> None:
    rng = random.Random(12)
    runs = []
    for i in range(200):
        lasted = 41.0 * math.exp(rng.gauss(0.0, 0.033))
        stops = [lasted + 12.0 * turn for turn in range(-2, 6)]
        within = [(10.0 + hours / 24.0) / 60.0 for hours in stops]
        spans = tuple((hours - off, hours + off) for hours, off in zip(stops, within, strict=True))
        runs.append(Run(0.01 * i, Evidence("one_of", spans)))
    found = estimate(runs, prior_for(42.0), now_years=2.0)
    assert (found.reserve_h.low, found.reserve_h.mid, found.reserve_h.high) == pytest.approx((41.0,) * 3, rel=0.03)


@pytest.mark.parametrize("rise", [0.2, 0.3, 0.5])
def test_hands_that_leave_but_one_course_give_figures(rise: float) -> None:
    throws, runs = random.Random(3), []
    for i in range(60):
        hours = 41.0 * math.exp((rise if i >= 30 else 0.0) + throws.gauss(0.0, 0.003))
        spans = tuple((hours + 12 * n - 0.2, hours + 12 * n + 0.2) for n in range(-2, 4))
        runs.append(Run(3 * i / 60 + 0.01, Evidence("one_of", spans)))
    reserve_h = estimate(runs, prior_for(42.0), now_years=3.02).reserve_h
    assert 0.0 < reserve_h.low <= reserve_h.mid <= reserve_h.high < 100.0
