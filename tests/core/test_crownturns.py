import pytest

from tests.web.rounds import NOW
from tracker.core.crownturns import Turns, share_of, turns_of, turns_to_full
from tracker.core.timeline import Found, Wind


def wind(turns: float | None, found: Found = "stopped") -> Wind:
    return Wind(uid="w", at=NOW, zone="UTC", found=found, crown_turns=turns)


def test_the_turns_of_windings_from_stopped_are_learned() -> None:
    winds = [wind(27), wind(29), wind(28), wind(12, "going"), wind(None)]
    assert turns_to_full(winds, 40) == Turns(27, 28, 29, 3)
    assert turns_to_full(winds[:2], 40) == Turns(36, 40, 44, 0)
    assert turns_to_full([], None) is None


def test_counted_turns_are_a_share_with_all_that_may_be_miscounted() -> None:
    assert share_of(14, Turns(25.0, 28.0, 30.0, 5)) == pytest.approx((14 * 0.9 / 30, 14 * 1.1 / 25))
    assert turns_of(14 * 0.9 / 30, Turns(25.0, 28.0, 30.0, 5)) == pytest.approx(14)
