"""Rows taken together say what they say one by one."""

import numpy as np
import pytest

from tracker.core.evidence import at_least, at_most, between, exact
from tracker.core.likelihood import Plane, log_likelihood
from tracker.core.rows import Run, rows_of
from tracker.core.together import together

SCALE_H = 42.0
THROWS = np.random.default_rng(11)
DAILY = [Run(day / 365, at_least(24.0 + THROWS.normal())) for day in range(2_000)]
MORE = [Run(0.7, exact(40.0)), Run(1.2, between(38.0, 44.0)), Run(3.3, at_most(47.0)), Run(4.1, at_least(39.0))]
PLANE = Plane(np.log([0.02, 0.05, 0.2]), np.linspace(-0.02, 0.01, 5), np.linspace(-0.2, 0.1, 21), 2.5)


@pytest.mark.parametrize("splits", [None, np.array([0.5, 0.7, 0.7005, 2.0, 5.4])])
def test_many_of_nearly_one_edge_and_age_are_few_and_say_the_same(splits: np.ndarray | None) -> None:
    rows = rows_of(DAILY + MORE, SCALE_H)
    fewer = together(rows, 0.0, splits)
    assert fewer.age.size < 700
    assert fewer.weight.sum() == pytest.approx(len(DAILY + MORE))
    assert np.all(np.diff(fewer.age) >= 0.0)
    whole, said = log_likelihood(rows, PLANE, splits), log_likelihood(fewer, PLANE, splits)
    near = whole.sum(0) > whole.sum(0).max() - 12.0
    assert said[:, near] == pytest.approx(whole[:, near], abs=0.05)


def test_near_the_levels_only_what_is_hardly_apart_is_taken_together() -> None:
    hours = 40.0 * np.exp(THROWS.normal(0.0, 0.05, 600))
    rows = rows_of(
        [Run(age, at_least(hour)) for age, hour in zip(THROWS.uniform(0, 5, 600), hours, strict=True)], SCALE_H
    )
    fewer = together(rows, -0.05)
    assert fewer.age.size > 400
    whole, said = log_likelihood(rows, PLANE)[0], log_likelihood(fewer, PLANE)[0]
    near = whole > whole.max() - 12.0
    assert said[near] == pytest.approx(whole[near], abs=0.1)


def test_few_rows_are_left_as_they_are() -> None:
    rows = rows_of(DAILY[:150] + MORE, SCALE_H)
    assert together(rows, 0.0) is rows
