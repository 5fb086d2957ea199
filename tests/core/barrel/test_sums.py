from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given

from tests.core.barrel.drums import USUAL, barrel, barrels
from tracker.core.barrel.checked import Unfit
from tracker.core.barrel.entered import Barrel
from tracker.core.barrel.slips import Slip
from tracker.core.barrel.sums import FIGURES, sums


def test_the_figures_are_those_of_the_file_form() -> None:
    assert FIGURES == (
        "coils_unwound", "coils_wound", "turns", "fill", "best_length_mm", "best_turns", "torque_full_nmm",
        "torque_end_nmm", "usable_turns", "energy_mj", "stress_full_mpa", "reserve_h",
    )  # fmt: skip


def test_a_barrel_that_can_not_be_is_refused() -> None:
    with pytest.raises(Unfit):
        sums(barrel(length_mm=800))


def test_warnings_stand_beside_the_sums() -> None:
    kinds = [each.unit if isinstance(each, Slip) else each.kind for each in sums(barrel(modulus_gpa=205_000)).warnings]
    assert kinds == ["modulus high", "MPa"]


@given(barrels())
def test_reserve_is_the_way_from_full_wind_to_the_stop(made: Barrel) -> None:
    found = sums(made)
    assert found.turns == found.coils_wound - found.coils_unwound
    in_series = made.barrels if made.arrangement == "series" else 1
    assert found.usable_turns == pytest.approx(in_series * min(found.turns, found.coils_wound - made.free_turns))
    assert found.reserve_h == pytest.approx(found.usable_turns * made.hours_per_turn)
    assert found.torque_end_nmm <= found.torque_full_nmm


def test_two_barrels_add_turns_in_series_and_torque_in_parallel() -> None:
    one = sums(barrel(least_torque_nmm=0))
    series, parallel = (sums(barrel(least_torque_nmm=0, barrels=2, arrangement=how)) for how in ("series", "parallel"))
    assert (series.usable_turns, series.torque_full_nmm) == (2 * one.usable_turns, one.torque_full_nmm)
    assert (parallel.usable_turns, parallel.torque_full_nmm) == (one.usable_turns, 2 * one.torque_full_nmm)
    assert (parallel.torque_end_nmm, parallel.stress_full_mpa) == (2 * one.torque_end_nmm, one.stress_full_mpa)
    assert series.energy_mj == parallel.energy_mj == 2 * one.energy_mj


def test_a_train_that_wants_more_than_there_is_does_not_go() -> None:
    found = sums(barrel(least_torque_nmm=100))
    assert (found.usable_turns, found.energy_mj, found.reserve_h) == (0, 0, 0)
    assert found.torque_end_nmm == found.torque_full_nmm


@pytest.mark.parametrize("field", sorted(set(USUAL)))
def test_many_barrels_at_once_are_the_same_as_one_by_one(field: str) -> None:
    values = USUAL[field] * np.array([0.97, 1.0, 1.03])
    at_once = sums(barrel(**{field: values}))
    for place, value in enumerate(values):
        alone = sums(barrel(**{field: float(value)}))
        for name in FIGURES:
            found: Any = np.broadcast_to(np.asarray(getattr(at_once, name)), (3,))[place]
            assert found == pytest.approx(getattr(alone, name), rel=1e-14), name


def test_a_strip_without_torque_stores_nothing_and_not_minus_nothing() -> None:
    assert str(float(sums(barrel(free_turns=30.0)).energy_mj)) == "0.0"


def test_the_sums_of_values_that_are_replaced_are_new() -> None:
    assert sums(replace(barrel(), efficiency=0.45)).torque_full_nmm == pytest.approx(sums(barrel()).torque_full_nmm / 2)
