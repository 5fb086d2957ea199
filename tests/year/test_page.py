"""README's table of the simulated year says what the stored tallies say."""

from dataclasses import asdict
from typing import Any

import pytest

from tests.year.household import HOUSEHOLDS
from tests.year.life import WEEKS, Tally
from tests.year.page import PAGE, mean, ratio, section, stored, written
from tests.year.policies import ALONE, KNOWING, PLAN, POLICIES, STATED
from tests.year.run import FIRST


def test_the_table_is_what_the_stored_tallies_give() -> None:
    page = PAGE.read_text(encoding="utf-8")
    assert written(page, stored()) == page


def test_the_stored_years_are_whole_and_not_those_looked_at_before() -> None:
    tasks = {tuple(record["task"]) for record in stored()}
    households = {(owner, kind) for owner, kind, _ in tasks}
    assert {kind for _, kind in households} == {*HOUSEHOLDS}
    assert min(owner for owner, _ in households) >= FIRST
    assert tasks == {(*household, policy) for household in households for policy in POLICIES}
    assert {record["weeks"] for record in stored()} == {WEEKS}


def _records(**changed: dict[str, float]) -> list[dict[str, Any]]:
    """Five owners alike but for a little; by policy what differs."""
    found = []
    for owner in range(5):
        for policy in POLICIES:
            tally = asdict(Tally(windings=1000 + owner, rounds=300 + owner, stops=50 + owner, digests=300, calls=10))
            tally |= {"wind_bys": 1000, "accepted": 60.0, "early": 58 + owner % 2}
            record = {"task": [owner, "few", policy], "model": 1, "weeks": 52, **tally}
            found.append(record | {key: record[key] + more for key, more in changed.get(policy, {}).items()})
    return found


def _verdicts(**changed: dict[str, float]) -> list[str]:
    return [line.rsplit(", ", 1)[1] for line in section(_records(**changed)).splitlines() if line.startswith("- ")]


def test_goals_are_judged_owner_by_owner() -> None:
    better: dict[str, dict[str, float]] = {PLAN: {"stops": -10, "rounds": -100}}
    assert _verdicts(**better) == ["met"] * 4
    worse: dict[str, dict[str, float]] = {
        STATED: {"stops": -10},
        ALONE: {"rounds": -9},
        KNOWING: {"windings": -200},
        PLAN: {"early": 20},
    }
    assert _verdicts(**worse) == ["missed"] * 4


def test_as_many_are_not_fewer() -> None:
    assert _verdicts()[1:3] == ["missed"] * 2


def test_a_ratio_errs_by_what_differs_between_owners() -> None:
    assert ratio([(1.0, 10.0), (2.0, 20.0)]) == pytest.approx((0.1, 0.0))
    value, error = ratio([(1.0, 10.0), (3.0, 10.0)])
    assert (value, error) == pytest.approx((0.2, 0.1))
    assert mean([1.0, 3.0]) == pytest.approx((2.0, 1.0))
