"""Answers of one barrel beside another's."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.core.barrel.drums import barrel, barrels
from tracker.core.barrel import whatif
from tracker.core.barrel.checked import Unfit, fits
from tracker.core.barrel.coils import coils_wound, fill
from tracker.core.barrel.entered import Barrel
from tracker.core.barrel.sums import reckoned, sums
from tracker.core.barrel.torque import torque_nmm


@given(barrels(), st.floats(0.5, 2.0))
def test_a_beat_has_an_answer_for_each_assumption(made: Barrel, times: float) -> None:
    was = sums(made).reserve_h
    as_much, as_wide, old = whatif.at_beat(made, 18_000, 18_000 * times)
    assert [each.assumed for each in (as_much, as_wide, old)] == [
        "geared anew, as much a beat",
        "geared anew, as wide a swing",
        "old train",
    ]
    assert sums(as_much.barrel).reserve_h == pytest.approx(was / times)
    assert sums(as_wide.barrel).reserve_h == pytest.approx(was / times**3)
    assert old.barrel == made


@given(barrels(), st.floats(0.5, 2.0))
def test_geared_anew_each_beat_gets_the_energy_that_its_assumption_says(made: Barrel, times: float) -> None:
    # Energy of a beat: 2 pi M / (hours of a turn x beats an hour); that of a swing as wide grows as the square of the beat.
    def of_a_beat(of: Barrel, vph: float) -> float:
        return float(torque_nmm(of, coils_wound(of)) / (of.hours_per_turn * vph))

    as_much, as_wide, _ = whatif.at_beat(made, 18_000, 18_000 * times)
    was = of_a_beat(made, 18_000)
    assert of_a_beat(as_much.barrel, 18_000 * times) == pytest.approx(was)
    assert of_a_beat(as_wide.barrel, 18_000 * times) == pytest.approx(was * times**2)


@given(barrels(), st.floats(0.5, 1.2))
def test_in_the_same_room_turns_go_as_one_over_thickness_and_torque_as_its_cube(made: Barrel, times: float) -> None:
    found = whatif.with_thickness(made, made.thickness_mm * times).barrel
    assume(bool(fits(found)))
    was, now = sums(made), sums(found)
    assert now.fill == pytest.approx(was.fill)
    assert now.turns == pytest.approx(was.turns / times)
    assert now.torque_full_nmm == pytest.approx(was.torque_full_nmm * times**3, rel=1e-9, abs=1e-9)


def test_a_larger_drum_takes_a_longer_strip_and_gives_more_turns() -> None:
    found = whatif.with_drum(barrel(), 12.0).barrel
    assert fill(found) == pytest.approx(fill(barrel()))
    assert found.length_mm > barrel().length_mm
    assert sums(found).turns > sums(barrel()).turns


def test_two_barrels_in_series_run_twice_as_long_and_in_parallel_longer_if_the_train_wants_torque() -> None:
    one = barrel(least_torque_nmm=5.0)
    series, parallel = (whatif.with_barrels(one, 2, how).barrel for how in ("series", "parallel"))
    assert sums(series).reserve_h == pytest.approx(2 * sums(one).reserve_h)
    assert sums(one).reserve_h < sums(parallel).reserve_h < sums(series).reserve_h


def test_a_train_better_by_a_factor_goes_on_less() -> None:
    found = whatif.with_train(barrel(least_torque_nmm=6.0), 1.5).barrel
    assert found.least_torque_nmm == pytest.approx(4.0)
    assert sums(found).reserve_h > sums(barrel(least_torque_nmm=6.0)).reserve_h


@given(barrels(), st.floats(0.01, 0.99))
def test_no_other_thickness_runs_longer_than_the_best(made: Barrel, share: float) -> None:
    full = float(torque_nmm(made, coils_wound(made)))
    assume(full > 0.0)
    wants = replace(made, least_torque_nmm=share * full)
    best = whatif.best_thickness(wants)
    assert best is not None
    assume(bool(fits(best.barrel)))
    others = whatif.with_thickness(wants, best.barrel.thickness_mm * np.geomspace(0.6, 1.6, 401)).barrel
    fitting = fits(others)
    longest = np.asarray(reckoned(others).reserve_h)[fitting].max()
    assert sums(best.barrel).reserve_h >= longest * (1 - 1e-9)
    assert longest == pytest.approx(sums(best.barrel).reserve_h, rel=5e-3)


def test_thinner_than_the_best_runs_shorter_however_many_turns_it_has() -> None:
    wants = barrel(least_torque_nmm=5.0)
    best = whatif.best_thickness(wants)
    assert best is not None
    thinner = whatif.with_thickness(wants, best.barrel.thickness_mm * 0.8).barrel
    assert sums(thinner).turns > sums(best.barrel).turns
    assert sums(thinner).reserve_h < sums(best.barrel).reserve_h


def test_the_best_strip_gives_four_times_the_least_or_the_least_at_the_wall() -> None:
    # A strip curved in the drum's sense unwinds to little torque, a straight one to much of it.
    curved = whatif.best_thickness(barrel(free_turns=9.0))
    straight = whatif.best_thickness(barrel(free_turns=0.0))
    assert curved is not None
    assert straight is not None
    assert sums(curved.barrel).torque_full_nmm == pytest.approx(4 * 3.0)
    assert sums(straight.barrel).torque_end_nmm == pytest.approx(3.0)
    assert sums(straight.barrel).usable_turns == pytest.approx(sums(straight.barrel).turns)


@pytest.mark.parametrize("other", [{"least_torque_nmm": 0.0}, {"free_turns": 25.0}])
def test_without_a_least_torque_or_any_torque_no_thickness_is_best(other: dict[str, float]) -> None:
    assert whatif.best_thickness(barrel(**other)) is None


def test_the_best_of_many_barrels_is_that_of_each() -> None:
    least = np.array([1.0, 3.0, 6.0])
    at_once = whatif.best_thickness(barrel(least_torque_nmm=least))
    assert at_once is not None
    for place, each in enumerate(least):
        alone = whatif.best_thickness(barrel(least_torque_nmm=float(each)))
        assert alone is not None
        assert np.asarray(at_once.barrel.thickness_mm)[place] == pytest.approx(alone.barrel.thickness_mm)


def test_beats_and_factors_that_are_none_are_refused() -> None:
    for asked in (
        lambda: whatif.at_beat(barrel(), 0, 1),
        lambda: whatif.at_beat(barrel(), 1, -1),
        lambda: whatif.with_train(barrel(), 0),
    ):
        with pytest.raises(Unfit):
            asked()
