import numpy as np
import pytest

from tracker.core.evidence import NONE, Evidence, at_least, at_most, between, exact
from tracker.core.normal import FloatArray
from tracker.core.rows import Run, rows_of


def test_what_tells_nothing_has_no_row() -> None:
    assert rows_of([Run(1.0, NONE), Run(2.0, at_least(0.0))], 42.0).ages.size == 0


def test_rows_stand_in_order_of_age() -> None:
    rows = rows_of([Run(0.3, exact(40.0)), Run(0.1, between(41.0, 43.0)), Run(0.1, at_most(44.0))], 40.0)
    assert (list(rows.age), list(rows.ages)) == ([0.1, 0.1, 0.3], [0.1, 0.3])
    assert list(rows.until - rows.first) == [1, 2, 1]
    assert list(rows.moments) == [False, False, True]
    assert np.exp(rows.edge[rows.first]) * 40.0 == pytest.approx([44.0, 41.0, 40.0])


def test_thinned_rows_weigh_as_much_and_rare_kinds_stay() -> None:
    rows = rows_of([Run(0.01 * i, exact(41.0) if i % 100 == 0 else at_least(30.0)) for i in range(1_000)], 42.0)
    few = rows.thinned(20)
    assert (few.moments.sum(), few.weight[few.moments].sum()) == (10, 10.0)
    assert (~few.moments).sum() == pytest.approx(990 / 20, abs=1.0)
    assert few.weight[~few.moments].sum() == pytest.approx(990.0, rel=0.02)
    assert list(few.age) == sorted(few.age)
    assert np.array_equal(rows.thinned(1).age, rows.age)


def test_moments_that_no_reserve_reaches_cost_nothing() -> None:
    near = [(5.0 + 12 * i, 5.4 + 12 * i) for i in range(60)]
    far = [(5.0 + 12 * i, 5.4 + 12 * i) for i in range(90, 2000)]
    few, many = (rows_of([Run(1.0, Evidence("one_of", tuple(spans)))], 42.0) for spans in (near, near + far))
    assert np.array_equal(few.edge, many.edge)
    late = rows_of([Run(1.0, Evidence("one_of", tuple(far)))], 42.0)
    assert (late.age.size, late.edge.size) == (1, 1)


def test_hours_of_numpy_are_hours() -> None:
    low, high = np.float64(38.0), np.float64(43.0)
    rows = rows_of([Run(1.0, Evidence("between", ((low, high),)))], 42.0)
    assert np.exp(rows.edge) * 42.0 == pytest.approx([38.0, 43.0])


def test_stopped_at_once_tells_nothing() -> None:
    rows = rows_of([Run(1.0, at_most(0.0)), Run(2.0, at_most(44.0))], 42.0)
    assert list(rows.age) == [2.0]


def told_by(spans: tuple[tuple[float, float], ...]) -> FloatArray:
    rows = rows_of([Run(1.0, Evidence("one_of", spans))], 42.0)
    return rows.sign * rows.width * np.exp(rows.edge)


def test_moments_of_hands_that_drifted_count_by_their_middle() -> None:
    tolerance = [0.2 + moment / 1440 for moment in (29.0, 41.0, 53.0)]
    told = told_by(tuple((m - t, m + t) for m, t in zip((29.0, 41.0, 53.0), tolerance, strict=True)))
    assert told == pytest.approx([told[0]] * 3, rel=1e-3)


def test_a_moment_cut_short_by_a_bracket_counts_for_less() -> None:
    told = told_by(((29.0, 29.4), (40.8, 41.2), (52.8, 53.0)))
    assert told / told[0] == pytest.approx([1.0, 1.0, 0.5], rel=0.01)
