import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.core.barrel.drums import barrel, barrels
from tracker.core.barrel.checked import Unfit
from tracker.core.barrel.entered import Barrel
from tracker.core.barrel.settled import after_set, arbor_stress_mpa, eyelet_stress_mpa
from tracker.core.barrel.sums import sums


@given(barrels(), st.floats(100.0, 5000.0))
def test_after_set_the_stress_is_no_more_than_the_limit(made: Barrel, limit: float) -> None:
    before, after = sums(made), sums(after_set(made, limit))
    assert after.stress_full_mpa == pytest.approx(min(before.stress_full_mpa, limit), rel=1e-9, abs=1e-6)
    assert after.torque_full_nmm <= before.torque_full_nmm * (1 + 1e-12)
    assert after.turns == before.turns


def test_a_spring_that_set_runs_shorter_on_a_train_that_wants_torque() -> None:
    before, after = sums(barrel()), sums(after_set(barrel(), 2000.0))
    assert after.reserve_h < before.reserve_h
    assert after.torque_full_nmm / before.torque_full_nmm == pytest.approx(2000.0 / before.stress_full_mpa)


def test_a_spring_below_its_limit_stays_as_it_is() -> None:
    assert after_set(barrel(), 3000.0) == barrel()


def test_an_eyelet_doubles_the_greatest_stress() -> None:
    assert eyelet_stress_mpa(barrel()) == pytest.approx(2 * sums(barrel()).stress_full_mpa)


def test_a_straight_strip_is_bent_to_the_arbor() -> None:
    assert arbor_stress_mpa(barrel(free_turns=0)) == pytest.approx(205e3 * 0.115 / 2 / 1.7)


def test_a_strip_whose_free_form_is_the_arbor_is_not_bent_there() -> None:
    assert arbor_stress_mpa(barrel(free_turns=350 / (2 * math.pi * 1.7))) == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("limit", [0.0, -1.0, math.nan])
def test_an_alloy_without_a_limit_is_refused(limit: float) -> None:
    with pytest.raises(Unfit) as refused:
        after_set(barrel(), limit)
    assert refused.value.field == "limit_mpa"
