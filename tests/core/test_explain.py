import math
from datetime import UTC, datetime, timedelta
from itertools import chain
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from tracker.core.evidence import NONE, Evidence, at_least, at_most, between, exact
from tracker.core.explain import ALONE, Explanation, explain, grouped, moved
from tracker.core.likelihood import Run
from tracker.core.prior import prior_for
from tracker.core.reserve import estimate, reserve_now
from tracker.core.rundown import RunDown

PRIOR = prior_for(42.0)
NOW_YEARS = 3.1
UTC_ZONE = ZoneInfo("UTC")
T0 = datetime(2026, 1, 5, 7, tzinfo=UTC)


def seen(kind: str, lasted_h: float, rng: np.random.Generator) -> Evidence:
    """What somebody may note of a run that lasted so long."""
    if kind == "exact":
        return exact(lasted_h)
    if kind == "between":
        low = lasted_h - rng.uniform(0.0, 10.0)
        return between(low, low + 12.0)
    if kind == "at_most":
        return at_most(lasted_h + rng.uniform(0.0, 20.0))
    if kind == "one_of":
        return Evidence("one_of", tuple((lasted_h + off - 0.1, lasted_h + off + 0.1) for off in (-12.0, 0.0, 12.0)))
    return at_least(min(lasted_h, rng.uniform(20.0, 36.0)))


def log(seed: int, kinds: tuple[str, ...], count: int, *, median_h: float = 40.0) -> list[Run]:
    """Runs of a watch of this median over three years."""
    rng = np.random.default_rng(seed)
    lasted = median_h * np.exp(0.04 * rng.normal(size=count))
    return [Run(3.0 * (i + 0.5) / count, seen(kinds[i % len(kinds)], each, rng)) for i, each in enumerate(lasted)]


MIXED = ("exact", "between", "at_least", "one_of", "at_most", "at_least")
LOGS = {
    "two exact": log(1, ("exact",), 2),
    "six mixed": log(2, MIXED, 6),
    "twelve mixed": log(3, MIXED, 12),
    "eighteen mixed": log(4, MIXED, 18),
    "fifteen at least": log(5, ("at_least",), 15),
    "weekends": log(6, ("between", "at_most"), 14),
    "dropped": log(7, ("exact",), 8)
    + [Run(3.0 + run.age_years / 30, run.evidence) for run in log(8, MIXED, 6, median_h=30.0)],
}


def one_by_one(runs: list[Run], now_years: float = NOW_YEARS) -> Explanation:
    """Each run by itself."""
    reserve_h = estimate(runs, PRIOR, now_years=now_years).reserve_h
    return explain(runs, PRIOR, [(i,) for i in range(len(runs))], now_years=now_years, reserve_h=reserve_h)


@pytest.mark.parametrize("name", LOGS)
def test_leaving_a_run_out_is_what_an_estimate_without_it_says(name: str) -> None:
    runs = LOGS[name]
    for without in one_by_one(runs).without:
        (place,) = without.runs
        anew = reserve_now(runs[:place] + runs[place + 1 :], PRIOR, now_years=NOW_YEARS)
        assert without.reserve_h.mid == pytest.approx(anew.mid, rel=0.004)
        assert moved(anew, without.reserve_h) < 0.01


def test_leaving_a_month_out_is_what_an_estimate_without_it_says() -> None:
    runs = log(9, ("at_least", "at_least", "at_least", "between"), 60)
    groups = [tuple(range(start, start + 12)) for start in range(0, 60, 12)]
    reserve_h = estimate(runs, PRIOR, now_years=NOW_YEARS).reserve_h
    for without in explain(runs, PRIOR, groups, now_years=NOW_YEARS, reserve_h=reserve_h).without:
        anew = reserve_now([run for i, run in enumerate(runs) if i not in without.runs], PRIOR, now_years=NOW_YEARS)
        assert moved(anew, without.reserve_h) < 0.005


def test_nothing_noted_leaves_the_prior() -> None:
    found = explain((), PRIOR, (), now_years=0.0, reserve_h=reserve_now((), PRIOR, now_years=0.0))
    assert found.without == ()
    assert found.prior_h.mid == pytest.approx(42.0 * math.exp(-0.02), rel=1e-3)
    assert found.prior_h.low == pytest.approx(42.0 * math.exp(-0.02 - 1.645 * 0.12), rel=3e-3)


def test_the_only_run_left_out_leaves_the_prior() -> None:
    found = one_by_one([Run(1.0, exact(38.0))])
    assert found.without[0].reserve_h == found.prior_h


def run_down(started_at: datetime, evidence: Evidence) -> RunDown:
    """A run that began then and told this."""
    return RunDown(
        wind_uid=f"{started_at:%j}",
        started_at=started_at,
        started_within_min=0.0,
        started_by="crown",
        amount="full",
        service_at=None,
        ended_at=started_at + timedelta(hours=24),
        ended_by="rewound going",
        evidence=evidence,
        reason=None if evidence.spans_h else "part wind",
        uids=(),
        end_uid="",
        looks=(),
        nothing_between=False,
        after_rest=False,
    )


def test_few_runs_are_weighed_one_by_one_and_those_that_tell_nothing_not_at_all() -> None:
    runs = [run_down(T0 + timedelta(days=i), NONE if i == 1 else at_least(24.0)) for i in range(4)]
    assert grouped(runs, UTC_ZONE) == ((0,), (2,), (3,))


def test_many_runs_are_weighed_by_month_and_kind() -> None:
    start = datetime(2026, 1, 1, 7, tzinfo=UTC)
    told = {10: exact(40.0), 45: exact(41.0), 46: NONE}
    runs = [run_down(start + timedelta(days=i), told.get(i, at_least(24.0))) for i in range(59)]
    groups = grouped(runs, UTC_ZONE)
    assert [len(group) for group in groups] == [30, 1, 26, 1]
    assert sorted(chain.from_iterable(groups)) == [i for i in range(59) if i != 46]
    assert len(runs) > ALONE


def test_a_month_begins_by_the_owners_clock() -> None:
    start = datetime(2026, 1, 31, 23, 30, tzinfo=UTC)
    runs = [run_down(start + timedelta(hours=24 * i), at_least(24.0)) for i in range(26)]
    assert [len(group) for group in grouped(runs, UTC_ZONE)] == [1, 25]
    assert [len(group) for group in grouped(runs, ZoneInfo("Europe/Berlin"))] == [26]
