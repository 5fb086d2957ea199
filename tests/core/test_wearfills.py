import math

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from tracker.core.wearfills import OWN_SD, USUAL_H, USUAL_SD, Worn, fills

RESERVE_H = 42.0


def test_with_nothing_seen_it_is_the_owner_s_figure_or_the_usual_one() -> None:
    assert fills(None, (), RESERVE_H) == pytest.approx((math.log(USUAL_H), USUAL_SD), rel=0.01)
    assert fills(10.0, (), RESERVE_H) == pytest.approx((math.log(10.0), OWN_SD), rel=0.01)


@pytest.mark.parametrize("true_h", [8.0, 14.0, 24.0])
def test_runs_after_wear_from_a_standstill_teach_it(true_h: float) -> None:
    seen = [Worn(4.0, 4.0 / true_h * RESERVE_H * 0.97, 4.0 / true_h * RESERVE_H * 1.03)] * 12
    centre, sd = fills(None, seen, RESERVE_H)
    assert math.exp(centre) == pytest.approx(true_h, rel=0.1)
    assert sd < USUAL_SD / 3


def test_a_run_that_may_have_been_full_says_only_that_wear_filled_it_so_fast() -> None:
    centre, _ = fills(None, [Worn(7.0, 41.0, 43.0)], RESERVE_H)
    assert centre < math.log(USUAL_H)


def test_found_standing_soon_it_had_little() -> None:
    centre, _ = fills(None, [Worn(7.0, 0.0, 10.0)], RESERVE_H)
    assert centre > math.log(USUAL_H)


def test_put_on_again_without_a_word_it_was_probably_going() -> None:
    sure, _ = fills(None, [Worn(5.0, 20.0, None)], RESERVE_H)
    said, _ = fills(None, [Worn(5.0, 0.0, None, again_h=20.0)], RESERVE_H)
    assert sure < said < math.log(USUAL_H)


def test_what_cannot_be_teaches_nothing() -> None:
    assert fills(None, [Worn(0.1, 41.0, 42.0)], RESERVE_H) == pytest.approx(fills(None, (), RESERVE_H))


def test_one_run_unlike_all_that_is_believed_makes_nothing_certain() -> None:
    centre, sd = fills(None, [Worn(19.5, 0.0, 1.0)], RESERVE_H)
    assert (math.exp(centre), sd) == pytest.approx((USUAL_H, USUAL_SD), rel=0.05)


@example([(19.5, 0.0, 1.0)])
@given(st.lists(st.tuples(st.floats(0.1, 20), st.floats(0, 60), st.floats(0, 60)), max_size=20))
def test_whatever_was_seen_it_is_a_figure_to_be_believed(seen: list[tuple[float, float, float]]) -> None:
    centre, sd = fills(None, [Worn(worn, min(pair), max(pair)) for worn, *pair in seen], RESERVE_H)
    assert 2.0 < math.exp(centre) < 100.0
    assert 0.0 < sd <= USUAL_SD * 1.3
