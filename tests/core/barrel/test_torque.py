import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.core.barrel.drums import barrel, barrels
from tracker.core.barrel import coils, torque
from tracker.core.barrel.entered import Barrel


def test_torque_is_nothing_at_the_turns_of_the_free_strip_and_rises_evenly() -> None:
    usual = barrel(free_turns=6.0)
    assert torque.torque_nmm(usual, 6.0) == 0.0
    rise = np.diff(np.asarray(torque.torque_nmm(usual, np.arange(6.0, 20.0))))
    assert rise == pytest.approx(0.9 * 205e3 * 1.3 * 0.115**3 / (12 * 350) * 2 * math.pi)


def test_torque_of_a_reverse_curved_strip_falls_less_over_the_run() -> None:
    def fall(free_turns: float) -> float:
        made = barrel(free_turns=free_turns)
        full, end = (torque.torque_nmm(made, turns) for turns in (coils.coils_wound(made), coils.coils_unwound(made)))
        return float(end / full)

    assert fall(6.0) < fall(0.0) < fall(-8.0) < 1.0


@given(barrels())
def test_energy_is_the_integral_of_torque(made: Barrel) -> None:
    low, high = float(coils.coils_unwound(made)), float(coils.coils_wound(made))
    turns = np.linspace(low, high, 2001)
    of_one = np.asarray(torque.torque_nmm(made, turns)) / torque.side_by_side(made)
    area = np.trapezoid(of_one, 2 * math.pi * turns) * made.barrels
    assert torque.energy_mj(made, low, high) == pytest.approx(area, rel=1e-9, abs=1e-9)


@given(barrels())
def test_stress_is_that_of_the_moment_without_friction(made: Barrel) -> None:
    of_one = torque.torque_nmm(made, coils.coils_wound(made)) / torque.side_by_side(made)
    expected = 6 * of_one / (made.efficiency * made.height_mm * made.thickness_mm**2)
    assert torque.stress_mpa(made, coils.coils_wound(made)) == pytest.approx(expected, rel=1e-9, abs=1e-9)


def test_the_train_stops_when_the_strip_lies_at_the_wall_or_gives_too_little() -> None:
    usual = barrel(least_torque_nmm=0.0)
    assert torque.stop_coils(usual) == coils.coils_unwound(usual)
    wants = float(torque.torque_nmm(usual, 15.0))
    assert torque.stop_coils(barrel(least_torque_nmm=wants)) == pytest.approx(15.0)
    assert torque.stop_coils(barrel(least_torque_nmm=1e4)) == coils.coils_wound(usual)


def test_a_strip_that_rests_before_the_wall_stops_there() -> None:
    assert torque.stop_coils(barrel(free_turns=14.0, least_torque_nmm=0.0)) == 14.0


@given(barrels(), st.floats(0.1, 0.9))
def test_side_by_side_each_of_two_need_give_but_half_the_least_torque(made: Barrel, share: float) -> None:
    alone = {"arrangement": "series", "barrels": 1}
    one = Barrel(**{name: getattr(made, name) for name in Barrel.__slots__} | alone)
    least = share * float(torque.torque_nmm(one, coils.coils_wound(one)))

    def stop(**other: object) -> float:
        fields = {name: getattr(one, name) for name in Barrel.__slots__} | other
        return float(torque.stop_coils(Barrel(**fields)))

    two = stop(arrangement="parallel", barrels=2, least_torque_nmm=least)
    assert two == pytest.approx(stop(least_torque_nmm=least / 2))
