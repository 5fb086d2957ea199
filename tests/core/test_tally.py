"""Counted rows beside the same rows taken one by one, with scatters far finer and far coarser than the levels' cell."""

import math

import numpy as np
import pytest

from tracker.core.evidence import Evidence, at_least, at_most, exact
from tracker.core.likelihood import Plane, Run, log_likelihood, rows_of
from tracker.core.normal import FloatArray
from tracker.core.tally import MANY, worth_counting

CHANCE = np.random.default_rng(12)
AGES = np.sort(CHANCE.uniform(0.0, 4.0, 2 * MANY))
SPLITS = np.array([0.5, 0.51, 2.0])
SCATTERS = np.log([0.003, 0.012, 0.05, 0.3])
NEAR = 20.0


def noted(kind: str, age: float, hours: float) -> Evidence:
    if kind == "exact":
        return exact(hours)
    return at_least(hours - 2.0) if kind == "at least" or age > 3.0 else at_most(hours + 2.0)


def runs_of(kind: str) -> list[Run]:
    hours = 41.0 * np.exp(CHANCE.normal(-0.01 * AGES, 0.03))
    return [Run(float(age), noted(kind, age, float(long))) for age, long in zip(AGES, hours, strict=True)]


def one_by_one(runs: list[Run], plane: Plane) -> FloatArray:
    found = [log_likelihood(rows_of([run], 42.0), plane, SPLITS) for run in runs]
    summed: FloatArray = np.sum(found, axis=0)
    return summed


def test_only_many_rows_with_one_edge_are_worth_it() -> None:
    few, many = (rows_of(runs_of("at least")[:number], 42.0) for number in (MANY - 1, MANY))
    assert [worth_counting(batch) for rows in (few, many) for batch in rows.batches] == [False, True]


@pytest.mark.parametrize("kind", ["exact", "at least", "both"])
@pytest.mark.parametrize("reach", [0.03, 0.4])
def test_counted_rows_say_what_they_say_one_by_one(kind: str, reach: float) -> None:
    runs = runs_of(kind)
    plane = Plane(SCATTERS, np.linspace(-0.06, 0.04, 6), np.linspace(-reach, reach, 31), 2.0)
    found, plain = log_likelihood(rows_of(runs, 42.0), plane, SPLITS), one_by_one(runs, plane)
    for scatter in range(SCATTERS.size):
        near = plain[:, scatter] > plain[:, scatter].max() - NEAR
        assert np.abs(found - plain)[:, scatter][near].max() < 0.05
    assert np.abs(found - plain).max() < 0.004 * np.abs(plain).max()


def test_a_stretch_without_rows_says_nothing() -> None:
    runs = [run for run in runs_of("exact") if not 0.5 < run.age_years <= 2.0]
    plane = Plane(SCATTERS, np.zeros(1), np.linspace(-0.1, 0.1, 9), 2.0)
    found = log_likelihood(rows_of(runs, 42.0), plane, SPLITS)
    assert [bool(part.any()) for part in found] == [True, False, False, True]


def test_far_beyond_its_edge_a_row_says_only_that_it_may_be_wrong() -> None:
    rows = rows_of([Run(1.0, at_least(60.0))] * MANY, 42.0)
    found = log_likelihood(rows, Plane(np.log([0.003, 0.004]), np.zeros(1), np.linspace(-3.0, -2.0, 5), 1.0))
    assert found == pytest.approx(MANY * math.log(0.03 * float(rows.batches[0].odd[0])))
