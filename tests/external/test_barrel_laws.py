"""Barrel sums beside dimensional analysis, and beside what every watchmaker says (common practice, no source)."""

from dataclasses import dataclass, replace
from typing import Self

import pytest
from hypothesis import assume, given, reject
from hypothesis import strategies as st

from tests.core.barrel.drums import LENGTHS, barrel, barrels
from tracker.core.barrel import whatif
from tracker.core.barrel.checked import Unfit, fits
from tracker.core.barrel.coils import coils_unwound, coils_wound
from tracker.core.barrel.entered import Barrel
from tracker.core.barrel.settled import after_set
from tracker.core.barrel.sums import Sums, sums
from tracker.core.barrel.torque import stop_coils, torque_nmm

SCALES = st.floats(0.1, 10.0)


def scaled(made: Barrel, by: float) -> Barrel:
    return replace(made, **{name: getattr(made, name) * by for name in LENGTHS})


@st.composite
def wanting(draw: st.DrawFn) -> Barrel:
    """Any barrel on a train that wants a part of its torque at full wind."""
    made = draw(barrels())
    return replace(made, least_torque_nmm=draw(st.floats(0.0, 0.9)) * float(torque_nmm(made, coils_wound(made))))


@given(wanting(), SCALES)
def test_dimensions_all_lengths_times_k_is_torque_and_energy_times_its_cube(made: Barrel, by: float) -> None:
    other = replace(scaled(made, by), least_torque_nmm=made.least_torque_nmm * by**3)
    try:
        was, now = sums(made), sums(other)
    except Unfit:
        reject()  # scaled beyond what any barrel is
    for name in (
        "coils_unwound",
        "coils_wound",
        "turns",
        "fill",
        "best_turns",
        "usable_turns",
        "stress_full_mpa",
        "reserve_h",
    ):
        assert getattr(now, name) == pytest.approx(getattr(was, name), rel=1e-9), name
    for name in ("torque_full_nmm", "torque_end_nmm", "energy_mj"):
        assert getattr(now, name) == pytest.approx(getattr(was, name) * by**3, rel=1e-9), name
    assert now.best_length_mm == pytest.approx(was.best_length_mm * by, rel=1e-9)


@given(wanting(), SCALES)
def test_dimensions_modulus_times_k_is_torque_energy_and_stress_times_k(made: Barrel, by: float) -> None:
    other = replace(made, modulus_gpa=made.modulus_gpa * by, least_torque_nmm=made.least_torque_nmm * by)
    was, now = sums(made), sums(other)
    for name in ("torque_full_nmm", "torque_end_nmm", "energy_mj", "stress_full_mpa"):
        assert getattr(now, name) == pytest.approx(getattr(was, name) * by, rel=1e-9), name
    assert now.reserve_h == pytest.approx(was.reserve_h, rel=1e-9)


@given(wanting(), SCALES)
def test_dimensions_hours_of_a_turn_times_k_is_reserve_times_k(made: Barrel, by: float) -> None:
    assert sums(replace(made, hours_per_turn=made.hours_per_turn * by)).reserve_h == pytest.approx(
        sums(made).reserve_h * by
    )


def of_two(made: Barrel) -> tuple[Sums, Sums, Sums]:
    one = replace(made, barrels=1, arrangement="series")
    series, parallel = (whatif.with_barrels(one, 2, how).barrel for how in ("series", "parallel"))
    return sums(one), sums(series), sums(parallel)


@given(wanting())
def test_two_barrels_in_series_add_turns_and_in_parallel_torque(made: Barrel) -> None:
    # Common practice, no source: one barrel drives the next, or both drive one pinion.
    one, series, parallel = of_two(made)
    assert series.usable_turns == pytest.approx(2 * one.usable_turns)
    assert (series.torque_full_nmm, series.torque_end_nmm) == (one.torque_full_nmm, one.torque_end_nmm)
    assert parallel.torque_full_nmm == pytest.approx(2 * one.torque_full_nmm)
    assert one.usable_turns <= parallel.usable_turns * (1 + 1e-12)
    assert parallel.usable_turns <= one.turns * (1 + 1e-12)


@given(wanting(), st.floats(1.01, 2.0))
def test_a_faster_beat_drains_the_spring_sooner(made: Barrel, times: float) -> None:
    # Common practice, no source. Both answers for a train geared anew agree on it; the old train changes nothing.
    as_much, as_wide, old = (sums(each.barrel).reserve_h for each in whatif.at_beat(made, 18_000, 18_000 * times))
    was = sums(made).reserve_h
    assume(float(was) > 0.0)
    assert as_wide < as_much < was == old


@given(barrels(), st.floats(0.5, 0.98))
def test_a_thinner_and_longer_spring_gives_more_turns_and_less_torque(made: Barrel, times: float) -> None:
    # Common practice, no source.
    other = whatif.with_thickness(made, made.thickness_mm * times).barrel
    assert fits(other)
    was, now = sums(made), sums(other)
    assert other.length_mm > made.length_mm
    assert now.turns > was.turns
    assert now.torque_full_nmm < was.torque_full_nmm


@given(wanting(), st.floats(1.01, 3.0))
def test_a_better_train_runs_longer_where_it_wanted_any_torque(made: Barrel, factor: float) -> None:
    # Common practice, no source. Where the spring comes to the wall first, a better train has nothing more to use.
    was, now = sums(made), sums(whatif.with_train(made, factor).barrel)
    assert now.reserve_h >= was.reserve_h
    in_series = made.barrels if made.arrangement == "series" else 1
    at_the_wall = was.usable_turns >= was.turns * in_series * (1 - 1e-6)
    if not at_the_wall and made.least_torque_nmm > 1e-6 * was.torque_full_nmm:
        assert now.reserve_h > was.reserve_h


@given(wanting(), st.floats(0.3, 0.99))
def test_a_set_spring_has_its_turns_but_less_torque_and_runs_no_longer(made: Barrel, share: float) -> None:
    # Common practice, no source: a tired spring has as many turns from let down to full, and more are left at the stop.
    was = sums(made)
    now = sums(after_set(made, share * float(was.stress_full_mpa)))
    assert now.turns == was.turns
    assert now.torque_full_nmm < was.torque_full_nmm
    assert now.usable_turns <= was.usable_turns


@dataclass(frozen=True)
class Signs:
    """What a bench sees of a barrel whose full wind may lie below that of its geometry."""

    run_down_h: float
    from_stopped: float
    from_let_down: float
    left_at_the_stop: float
    torque_over_least_at_full: float
    torque_at_equal_turns_left: float

    @classmethod
    def of(cls, made: Barrel, slips_turns: float = 0.0) -> Self:
        unwound, full, stop = (
            float(coils_unwound(made)),
            float(coils_wound(made)) - slips_turns,
            float(stop_coils(made)),
        )
        full_nmm = float(torque_nmm(made, full))
        return cls(
            (full - stop) * float(made.hours_per_turn),
            full - stop,
            full - unwound,
            stop - unwound,
            full_nmm / float(made.least_torque_nmm),
            float(torque_nmm(made, unwound + 5.0)),
        )


def _way(now: float, was: float) -> str:
    return "same" if now == pytest.approx(was, rel=1e-9) else "less" if now < was else "more"


SOUND = barrel(least_torque_nmm=4.0)
FAULTS = {
    "spring set": Signs.of(after_set(SOUND, 0.9 * float(sums(SOUND).stress_full_mpa))),
    "slips early": Signs.of(SOUND, slips_turns=1.0),
    "friction in the train": Signs.of(replace(SOUND, least_torque_nmm=5.0)),
}


@pytest.mark.parametrize(
    ("sign", "spring_set", "slips", "friction"),
    [
        ("run_down_h", "less", "less", "less"),
        ("from_stopped", "less", "less", "less"),
        ("from_let_down", "same", "less", "same"),
        ("left_at_the_stop", "more", "same", "more"),
        ("torque_over_least_at_full", "less", "less", "less"),
        ("torque_at_equal_turns_left", "less", "same", "same"),
    ],
)
def test_signs_of_a_fault_follow_from_the_sums(sign: str, spring_set: str, slips: str, friction: str) -> None:
    # What tells the parts apart (turns left at the stop, a count from let down, a gauge), and what does not, is no opinion.
    was = getattr(Signs.of(SOUND), sign)
    assert [_way(getattr(found, sign), was) for found in FAULTS.values()] == [spring_set, slips, friction]


def test_a_reverse_curved_spring_keeps_its_torque_better() -> None:
    # Common practice, no source: of two springs that give as much at full wind, the reverse-curved one falls less.
    plain, reversed_one = (
        sums(barrel(free_turns=6.0, least_torque_nmm=0)),
        sums(barrel(free_turns=-8.0, least_torque_nmm=0)),
    )
    assert reversed_one.torque_end_nmm / reversed_one.torque_full_nmm > plain.torque_end_nmm / plain.torque_full_nmm


def test_a_church_clock_and_a_watch_obey_one_law() -> None:
    watch = barrel(least_torque_nmm=0)
    assert sums(scaled(watch, 30.0)).turns == pytest.approx(sums(watch).turns)
