import numpy as np
import pytest

from tracker.core.evidence import NONE, Evidence, at_least, at_most, exact
from tracker.core.rows import Run, rows_of


def test_what_tells_nothing_has_no_row() -> None:
    assert rows_of([Run(1.0, NONE), Run(2.0, at_least(0.0))], 42.0).ages.size == 0


def test_rows_stand_in_order_of_age_with_equal_ages_counted() -> None:
    rows = rows_of([Run(0.3, exact(40.0)), Run(0.1, exact(41.0)), Run(0.1, at_most(44.0))], 40.0)
    assert (list(rows.ages), list(rows.counts)) == ([0.1, 0.3], [2, 1])
    for batch in rows.batches:
        assert list(rows.ages[batch.of_age]) == sorted(batch.age)


def test_thinned_rows_weigh_as_much_and_rare_kinds_stay() -> None:
    rows = rows_of([Run(0.01 * i, exact(41.0) if i % 100 == 0 else at_least(30.0)) for i in range(1_000)], 42.0)
    few = rows.thinned(20)
    going, stopped = sorted(few.batches, key=lambda batch: batch.dense)
    assert (stopped.age.size, stopped.weight.sum()) == (10, 10.0)
    assert going.age.size == pytest.approx(990 / 20, abs=1.0)
    assert going.weight.sum() == pytest.approx(990.0, rel=0.02)
    assert np.array_equal(rows.ages, few.ages)
    assert rows.thinned(1).batches[0] is rows.batches[0]


def test_moments_that_no_reserve_reaches_cost_nothing() -> None:
    near = [(5.0 + 12 * i, 5.4 + 12 * i) for i in range(60)]
    far = [(5.0 + 12 * i, 5.4 + 12 * i) for i in range(90, 2000)]
    few, many = (rows_of([Run(1.0, Evidence("one_of", tuple(spans)))], 42.0) for spans in (near, near + far))
    assert np.array_equal(few.edges, many.edges)
    (late,) = rows_of([Run(1.0, Evidence("one_of", tuple(far)))], 42.0).batches
    assert late.edge.size == 2


def test_hours_of_numpy_are_hours() -> None:
    low, high = np.float64(38.0), np.float64(43.0)
    (batch,) = rows_of([Run(1.0, Evidence("between", ((low, high),)))], 42.0).batches
    assert np.exp(batch.edge[0]) * 42.0 == pytest.approx([38.0, 43.0])
