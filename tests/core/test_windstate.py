import math
import random
from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.core.test_away import runs_of
from tests.web.rounds import NOW
from tracker.core.rundown import run_downs
from tracker.core.standing import standing
from tracker.core.timeline import Found, Wind
from tracker.core.watch import Watch
from tracker.core.windby import hours_at_risk
from tracker.core.windstate import Automatic, Turns, gone, indicated, part_curve, turned, turns_to_full, worn, wound

AUTOMATIC = Automatic(full_turns=7.0, stop_turns=0.5, hours_per_turn=6.5, rotor_turns_per_turn=160.0, efficiency=0.9)
FULL = Turns(25.0, 28.0, 30.0, 5)
shares = st.tuples(st.floats(0, 1), st.floats(0, 1)).map(lambda pair: (min(pair), max(pair)))


def wind(turns: float | None, found: Found = "stopped") -> Wind:
    return Wind(uid="w", at=NOW, zone="UTC", found=found, crown_turns=turns)


def test_the_turns_of_windings_from_stopped_are_learned() -> None:
    winds = [wind(27), wind(29), wind(28), wind(12, "going"), wind(None)]
    assert turns_to_full(winds, 40) == Turns(27, 28, 29, 3)
    assert turns_to_full(winds[:2], 40) == Turns(36, 40, 44, 0)
    assert turns_to_full([], None) is None


def test_turns_add_up_to_full_and_no_further() -> None:
    low, high = wound((0.0, 0.0), 14, FULL)
    assert (low, high) == pytest.approx((14 * 0.9 / 30, 14 * 1.1 / 25))
    assert wound((0.9, 0.9), 28, FULL) == (1.0, 1.0)


@given(shares, st.floats(0, 60), st.floats(0, 60))
def test_more_turns_never_wind_it_less(before: tuple[float, float], fewer: float, more: float) -> None:
    few, many = (wound(before, turns, FULL) for turns in sorted((fewer, more)))
    assert few[0] <= many[0] <= 1.0
    assert few[1] <= many[1] <= 1.0
    assert before[0] <= few[0] <= few[1]


@given(shares, st.floats(0, 100), st.floats(0, 100))
def test_going_on_in_two_steps_is_going_on_in_one(share: tuple[float, float], first: float, then: float) -> None:
    full_h = (38.0, 42.0)
    assert gone(gone(share, first, full_h), then, full_h) == pytest.approx(gone(share, first + then, full_h), abs=1e-9)


def test_closed_forms_of_an_automatic() -> None:
    # W(t) = clamp(W_0 + (gain/24 − 1/h_t) t, W_s, W_f), gain = (P u − n φ/360) η/ρ.
    assert AUTOMATIC.gain_per_day(700, 1.0) == pytest.approx(700 * 0.9 / 160)
    assert AUTOMATIC.gain_per_day(700, 0.5, 0) == pytest.approx(350 * 0.9 / 160)
    lossy = Automatic(
        full_turns=7, stop_turns=0, hours_per_turn=6.5, rotor_turns_per_turn=160, efficiency=0.9, lost_deg=90
    )
    assert lossy.gain_per_day(700, 1.0, 400) == pytest.approx((700 - 100) * 0.9 / 160)
    assert AUTOMATIC.after(3.0, 0.0, 6.5) == pytest.approx(2.0)
    assert AUTOMATIC.after(3.0, 0.0, 1_000) == 0.5
    assert AUTOMATIC.after(3.0, 24.0, 1_000) == 7.0
    assert AUTOMATIC.hours_left(7.0) == pytest.approx(6.5 * 6.5)


@pytest.mark.parametrize(("useful", "reversals", "lost_deg"), [(1.0, 0.0, 0.0), (0.5, 0.0, 0.0), (0.5, 300.0, 120.0)])
def test_the_least_programme_holds_a_level_and_one_turn_less_does_not(
    useful: float, reversals: float, lost_deg: float
) -> None:
    own = Automatic(
        full_turns=7, stop_turns=0.5, hours_per_turn=6.5, rotor_turns_per_turn=160, efficiency=0.9, lost_deg=lost_deg
    )
    least = own.least_programme(useful, reversals)
    assert own.after(3.0, own.gain_per_day(least, useful, reversals), 500.0) == pytest.approx(3.0)
    assert own.after(3.0, own.gain_per_day(least - 1.0, useful, reversals), 500.0) < 3.0
    assert own.least_programme(0.0) == math.inf
    assert own.hours_left(3.0, own.gain_per_day(least + 1.0, useful, reversals)) == math.inf


@given(st.floats(0.5, 7), st.floats(0, 10), st.floats(0, 500))
def test_the_spring_stays_between_stop_and_full(turns: float, gain: float, hours: float) -> None:
    assert 0.5 <= AUTOMATIC.after(turns, gain, hours) <= 7.0


def test_an_hour_of_which_nothing_is_known_may_have_filled_it_or_not() -> None:
    low, high = turned((0.5, 0.5), [30.0, None, 30.0], (900.0, 1100.0), (38.0, 42.0))
    assert low < 0.5
    assert high > 0.99
    known = turned((0.5, 0.5), [30.0, 30.0, 30.0], (1000.0, 1000.0), (40.0, 40.0))
    assert known == pytest.approx((0.5 + 0.09 - 3 / 40, 0.5 + 0.09 - 3 / 40))


def test_an_indicator_shows_a_share_as_well_as_its_scale_is_known() -> None:
    assert indicated(30.0, (60.0, 60.0)) == (0.5, 0.5)
    assert indicated(30.0, (50.0, 70.0)) == pytest.approx((30 / 70, 0.6))
    assert indicated(80.0, (50.0, 70.0)) == (1.0, 1.0)


def test_half_a_winding_lasts_half_as_long_with_all_its_doubt() -> None:
    full = runs_of(40.0)
    half = part_curve(full, (0.5, 0.5))
    for risk in (0.05, 0.5, 0.95):
        assert hours_at_risk(half, risk) == pytest.approx(hours_at_risk(full, risk) / 2, rel=0.01)
    vague = part_curve(full, (0.3, 0.7))
    assert (
        hours_at_risk(vague, 0.05) < hours_at_risk(half, 0.05) < hours_at_risk(half, 0.95) < hours_at_risk(vague, 0.95)
    )
    assert hours_at_risk(part_curve(full, (1.0, 1.0)), 0.5) == pytest.approx(hours_at_risk(full, 0.5), rel=0.01)


def test_a_month_of_wear_is_followed_within_its_band() -> None:
    """A simulated automatic: worn by day for some hours, lying by night; its true gain is one figure within what is said."""
    within = evenings = 0
    widths = []
    for seed in range(40):
        draw = random.Random(seed)
        full_h, gain_per_h = draw.uniform(38.0, 42.0), draw.uniform(0.03, 0.07)
        truth, told = 1.0, (1.0, 1.0)
        for _ in range(30):
            on_h = draw.uniform(4.0, 14.0)
            truth = min(1.0, truth + on_h * gain_per_h)
            told = worn(told, on_h, (0.03, 0.07))
            truth = max(0.0, truth - (24.0 - on_h) / full_h)
            told = gone(told, 24.0 - on_h, (38.0, 42.0))
            evenings += 1
            within += told[0] - 1e-9 <= truth <= told[1] + 1e-9
            widths.append(told[1] - told[0])
    assert within == evenings, f"{within} of {evenings} mornings within a band {sum(widths) / len(widths):.2f} wide"


def test_a_part_wind_of_counted_turns_has_a_wind_by_of_its_own() -> None:
    watch = Watch(uid="w", nickname="w", crown_turns_to_full=28)
    part = replace(wind(14), amount="part", at=NOW - timedelta(hours=2))
    history = run_downs(watch, [part])
    assert history.current is not None
    share = history.current.share
    assert share is not None
    assert share == pytest.approx((14 * 0.9 / (28 * 1.1), 14 * 1.1 / (28 * 0.9)))
    found = standing(history, part_curve(runs_of(40.0), share), 0.05, NOW)
    assert found.wind_by is not None
    assert timedelta(hours=14) < found.wind_by - part.at < timedelta(hours=20)
    assert not found.look


def test_without_counted_turns_or_their_full_number_it_has_none() -> None:
    part = replace(wind(14), amount="part")
    for watch, note in (
        (Watch(uid="w", nickname="w"), part),
        (Watch(uid="w", nickname="w", crown_turns_to_full=28), replace(part, crown_turns=None)),
    ):
        history = run_downs(watch, [note])
        assert history.current is not None
        assert history.current.share is None
        assert standing(history, runs_of(40.0), 0.05, NOW).look


def test_added_to_a_spring_nobody_knows_it_may_be_full() -> None:
    watch = Watch(uid="w", nickname="w", crown_turns_to_full=28)
    history = run_downs(watch, [replace(wind(14, "going"), amount="part")])
    assert history.current is not None
    assert history.current.share == pytest.approx((14 * 0.9 / (28 * 1.1), 1.0))
