import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.core.barrel.drums import barrel, barrels
from tracker.core.barrel.checked import Unfit, check
from tracker.core.barrel.coils import coils_unwound, coils_wound
from tracker.core.barrel.entered import Barrel
from tracker.core.barrel.gauge import fitted
from tracker.core.barrel.torque import per_turn_nmm, side_by_side, torque_nmm


@given(barrels(), st.floats(0.1, 1.0))
def test_readings_of_the_curve_itself_give_the_curve_back(made: Barrel, share: float) -> None:
    wound = float(coils_wound(made))
    between = share * (wound - float(coils_unwound(made)))
    full, later = (float(torque_nmm(made, turns) / side_by_side(made)) for turns in (wound, wound - between))
    assume(later >= 0.0 and full > 1e-3)
    found = fitted(made, full, later, between)
    assert found.of_reckoned == pytest.approx(made.efficiency, rel=1e-6)
    assert found.barrel.free_turns == pytest.approx(made.free_turns, rel=1e-6, abs=1e-6)
    assert per_turn_nmm(found.barrel) == pytest.approx(per_turn_nmm(made), rel=1e-6)


@given(st.floats(0.5, 30.0), st.floats(0.1, 0.95), st.floats(0.5, 8.0))
def test_the_fitted_curve_passes_through_both_readings(full: float, share: float, between: float) -> None:
    found = fitted(barrel(), full, share * full, between).barrel
    wound = coils_wound(found)
    check(found)
    assert torque_nmm(found, wound) == pytest.approx(full)
    assert torque_nmm(found, wound - between) == pytest.approx(share * full)


def test_more_torque_than_the_strip_can_give_raises_the_modulus_and_says_so() -> None:
    found = fitted(barrel(), 20.0, 10.0, 4.0)
    assert found.of_reckoned > 1.0
    assert found.barrel.efficiency == 1.0
    assert found.barrel.modulus_gpa == pytest.approx(205 * float(found.of_reckoned))


@pytest.mark.parametrize(
    ("readings", "why", "field"),
    [
        ((7.0, 7.0, 2.0), "torque does not fall", "later_nmm"),
        ((7.0, 8.0, 2.0), "torque does not fall", "later_nmm"),
        ((7.0, 5.0, 8.5), "more turns than there are", "turns_between"),
        ((7.0, 5.0, 0.0), "not above zero", "turns_between"),
        ((0.0, 5.0, 1.0), "not above zero", "full_nmm"),
        ((7.0, -1.0, 1.0), "below zero", "later_nmm"),
    ],
)
def test_readings_that_fix_no_curve_are_refused(readings: tuple[float, float, float], why: str, field: str) -> None:
    with pytest.raises(Unfit) as refused:
        fitted(barrel(), *readings)
    assert (refused.value.why, refused.value.field) == (why, field)
