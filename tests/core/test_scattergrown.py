"""Runs that have come to differ more than they did."""

import random
from collections.abc import Callable

from tracker.core.evidence import Evidence, at_least, between, exact
from tracker.core.prior import prior_for
from tracker.core.reserve import Estimate, Run, estimate
from tracker.core.scattergrown import ScatterGrown, scatter_grown

YEARS = 3.0


def lived(seed: int, scatter_at: Callable[[float], float], count: int = 60) -> list[Run]:
    rng = random.Random(seed)
    ages = sorted(rng.uniform(0.0, YEARS) for _ in range(count))
    return [Run(age, exact(40.0 * (1 - 0.02 * age) * rng.lognormvariate(0.0, scatter_at(age)))) for age in ages]


def found_in(runs: list[Run]) -> ScatterGrown | None:
    return scatter_grown(of(runs), runs)


def of(runs: list[Run]) -> Estimate:
    return estimate(runs, prior_for(42), now_years=YEARS)


def test_scatter_that_has_grown_threefold_is_seen_in_most_lives() -> None:
    found = [found_in(lived(seed, lambda age: 0.02 if age < 1.5 else 0.06)) for seed in range(12)]
    seen = [each for each in found if each is not None]
    assert len(seen) >= 10
    assert all(each.stops == 60 and each.later > 1.6 * each.earlier and each.by_chance <= 0.005 for each in seen)


def test_scatter_that_stays_is_hardly_ever_said_to_grow() -> None:
    assert [found_in(lived(seed, lambda _: 0.04)) for seed in range(20)] == [None] * 20


def test_a_few_wrong_entries_are_no_scatter() -> None:
    runs = lived(1, lambda _: 0.03)
    wrong = [Run(run.age_years, exact(22.0)) if i in {50, 55, 58} else run for i, run in enumerate(runs)]
    assert found_in(wrong) is None


def test_too_few_stops_say_nothing() -> None:
    assert found_in(lived(0, lambda age: 0.01 if age < 1.5 else 0.2, count=12)) is None
    assert found_in([Run(0.1 * i, at_least(38.0)) for i in range(30)]) is None


def test_stops_loosely_known_and_hands_that_may_mean_two_moments_say_nothing() -> None:
    runs = lived(1, lambda age: 0.02 if age < 1.5 else 0.08)
    loose = [
        Run(run.age_years, between(run.evidence.spans_h[0][0] - 2, run.evidence.spans_h[0][0] + 2)) for run in runs
    ]
    assert scatter_grown(of(runs), loose) is None
    near = [Run(run.age_years, _either(run.evidence.spans_h[0][0], 3.0)) for run in runs]
    assert scatter_grown(of(runs), near) is None
    apart = [Run(run.age_years, _either(run.evidence.spans_h[0][0], 12.0)) for run in runs]
    assert scatter_grown(of(runs), apart) is not None


def _either(hours: float, apart_h: float) -> Evidence:
    return Evidence(
        "one_of", tuple(sorted(((hours - 0.1, hours + 0.1), (hours + apart_h - 0.1, hours + apart_h + 0.1))))
    )
