import numpy as np
import pytest

from tracker.core.evidence import NONE, Evidence, at_least, at_most, between, exact
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
    assert late.edge.size == 1


def test_hours_of_numpy_are_hours() -> None:
    low, high = np.float64(38.0), np.float64(43.0)
    (batch,) = rows_of([Run(1.0, Evidence("between", ((low, high),)))], 42.0).batches
    assert np.exp(batch.edge[0]) * 42.0 == pytest.approx([38.0, 43.0])


def test_moments_of_hands_that_drifted_count_by_their_middle() -> None:
    tolerance = [0.2 + moment / 1440 for moment in (29.0, 41.0, 53.0)]
    spans = tuple((m - t, m + t) for m, t in zip((29.0, 41.0, 53.0), tolerance, strict=True))
    (batch,) = rows_of([Run(1.0, Evidence("one_of", spans))], 42.0).batches
    told = batch.sign * batch.width * np.exp(batch.edge)
    assert told[0] == pytest.approx([told[0, 0]] * 3, rel=1e-3)


def test_a_moment_cut_short_by_a_bracket_counts_for_less() -> None:
    spans = ((29.0, 29.4), (40.8, 41.2), (52.8, 53.0))
    (batch,) = rows_of([Run(1.0, Evidence("one_of", spans))], 42.0).batches
    told = batch.sign * batch.width * np.exp(batch.edge)
    assert told[0] / told[0, 0] == pytest.approx([1.0, 1.0, 0.5], rel=0.01)


def test_edges_beyond_the_bounds_are_passed_or_not_for_sure() -> None:
    runs = [Run(0.1 * i, told) for i, told in enumerate([at_least(10.0), at_most(90.0), between(20.0, 41.0)])]
    hands = Run(0.4, Evidence("one_of", ((17.0, 17.4), (41.0, 41.4), (89.0, 89.4))))
    rows = rows_of([*runs, hands], 42.0)
    near = rows.near(np.full(4, np.log(30.0 / 42.0)), np.full(4, np.log(60.0 / 42.0)))
    left = {batch.dense: batch for batch in near.batches if batch.edge.size}
    assert np.exp(left[False].edge) * 42.0 == pytest.approx(np.array([[41.0]]))
    assert (left[False].sign[0, 0], left[False].sure[0]) == (1.0, 0.0)
    assert np.exp(left[True].edge) * 42.0 == pytest.approx(np.array([[41.2]]), rel=1e-3)
    (settled,) = (batch for batch in near.batches if not batch.edge.size)
    assert list(settled.sure) == [1.0, 1.0]
    assert rows.near(np.full(4, -9.0), np.full(4, 9.0)).batches == rows.batches


def test_a_moment_that_reaches_into_the_bounds_is_kept() -> None:
    rows = rows_of([Run(0.0, Evidence("one_of", ((9.5, 10.5), (21.7, 22.3), (33.9, 34.1))))], 42.0)
    (near,) = rows.near(np.log([10.4 / 42.0]), np.log([33.95 / 42.0])).batches
    assert near.edge.size == 3
    (near,) = rows.near(np.log([10.6 / 42.0]), np.log([33.8 / 42.0])).batches
    assert np.exp(near.edge) * 42.0 == pytest.approx(np.array([[22.0]]), rel=1e-3)
