"""Closed forms are those of barrel sums: turns of the barrel between the stop and full, independent of the program's courses."""

import math
from dataclasses import astuple, dataclass
from datetime import timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.core.test_away import runs_of
from tests.core.wearlife import Wearer, followed
from tests.web.rounds import HOUR, NOW
from tracker.core.acts import Act, Kind
from tracker.core.windby import hours_at_risk
from tracker.core.windstate import Gains, Wound, curve_of, wound

FULL_H = 42.0
FULL = runs_of(FULL_H)
GAINS = Gains(fills=(math.log(14.0), 0.4))
START = NOW - timedelta(days=14)


def act(hours: float, kind: Kind, low: float | None = None, high: float | None = None, within_min: float = 0.0) -> Act:
    """At so many hours from the start."""
    return Act(START + hours * HOUR, within_min, kind, low, high)


def follow(*acts: Act, gains: Gains = GAINS) -> Wound:
    found = wound(acts, FULL, gains, NOW)
    assert found is not None
    return found


def median_left(found: Wound) -> float:
    return hours_at_risk(found.curve, 0.5)


@dataclass(frozen=True)
class Automatic:
    """Barrel turns at full and at the stop, hours of going a turn, rotor turns a barrel turn, efficiency, loss a reversal."""

    full: float = 7.0
    stop: float = 0.5
    hours_per_turn: float = 6.5
    rotor_turns: float = 160.0
    efficiency: float = 0.9
    lost_deg: float = 0.0

    def gain_per_day(self, turns_a_day: float, useful: float, reversals: float = 0.0) -> float:
        return (turns_a_day * useful - reversals * self.lost_deg / 360) * self.efficiency / self.rotor_turns

    def after(self, turns: float, gain: float, hours: float) -> float:
        return min(max(turns + (gain / 24 - 1 / self.hours_per_turn) * hours, self.stop), self.full)

    def least(self, useful: float, reversals: float = 0.0) -> float:
        held = 24 * self.rotor_turns / (self.hours_per_turn * self.efficiency)
        return (held + reversals * self.lost_deg / 360) / useful

    def share(self, turns: float) -> float:
        return (turns - self.stop) / (self.full - self.stop)


@pytest.mark.parametrize("watch", [Automatic(), Automatic(lost_deg=120.0)])
@pytest.mark.parametrize(("useful", "reversals"), [(1.0, 0.0), (0.5, 300.0)])
@pytest.mark.parametrize("part", [0.0, 0.5, 1.0, 1.6])
def test_on_a_winder_it_follows_the_closed_form(watch: Automatic, useful: float, reversals: float, part: float) -> None:
    """W(t) = clamp(W_0 + (gain/24 − 1/h_t) t, W_s, W_f): of a programme of `part` of the least one that holds a level."""
    full_h = (watch.full - watch.stop) * watch.hours_per_turn
    least = watch.least(useful, reversals)
    # What the reversals lose is lost at every programme, so the part is one of the turns that wind.
    programme = part * least + (1 - part) * reversals * watch.lost_deg / 360 / useful
    at_first = watch.after(watch.full, 0.0, 20.0)
    at_last = watch.after(at_first, watch.gain_per_day(programme, useful, reversals), 12.0)
    gains = Gains(fills=GAINS.fills, needs_a_day=(1000.0, 1000.0))
    acts = (act(0, "full"), act(20, "on winder", 1000.0 * part), act(32, "at rest"))
    found = wound(acts, runs_of(full_h, 0.001), gains, NOW)
    assert found is not None
    assert found.share.mid == pytest.approx(watch.share(at_last), abs=0.02)


def test_the_least_programme_holds_a_level_and_never_fills() -> None:
    held = follow(
        act(0, "full"),
        act(20, "on winder", 700),
        act(200, "at rest"),
        gains=Gains(fills=GAINS.fills, needs_a_day=(700, 700)),
    )
    assert held.share.mid == pytest.approx(1 - 20 / FULL_H, abs=0.05)


def test_wear_fills_it_and_the_surplus_slips() -> None:
    assert follow(act(0, "stopped"), act(0, "on wrist"), act(100, "at rest")).share.low == 1.0
    some = follow(act(0, "stopped"), act(0, "on wrist"), act(7, "at rest"))
    assert some.share.low < 0.5 < some.share.high
    assert some.share.mid == pytest.approx(0.5, abs=0.03)


def test_half_a_winding_lasts_half_as_long() -> None:
    half = follow(act(0, "stopped"), act(0, "turns", 0.5, 0.5))
    for risk in (0.05, 0.5, 0.95):
        assert hours_at_risk(half.curve, risk) == pytest.approx(hours_at_risk(FULL, risk) / 2, rel=0.02)
    vague = follow(act(0, "stopped"), act(0, "turns", 0.35, 0.65))
    assert hours_at_risk(vague.curve, 0.05) < hours_at_risk(half.curve, 0.05)
    assert hours_at_risk(half.curve, 0.95) < hours_at_risk(vague.curve, 0.95)


def test_a_full_wind_lasts_as_long_as_ever() -> None:
    for risk in (0.05, 0.5, 0.95):
        assert hours_at_risk(follow(act(0, "full")).curve, risk) == pytest.approx(hours_at_risk(FULL, risk), rel=0.02)


@given(st.floats(0, 1), st.floats(0, 1), st.floats(0, 40))
def test_more_turns_never_wind_it_less(few: float, many: float, before_h: float) -> None:
    few, many = sorted((few, many))
    less, more = (follow(act(0, "full"), act(before_h, "turns", each, each)) for each in (few, many))
    assert less.share.low <= more.share.low + 1e-12
    assert less.share.high <= more.share.high + 1e-12
    assert more.share.high <= 1.0


@given(st.floats(0, 30), st.floats(0, 30), st.sampled_from(["on wrist", "at rest"]))
def test_more_wear_never_leaves_less_and_more_rest_never_more(one: float, other: float, kind: Kind) -> None:
    short, long = sorted((one, other))
    less, more = (
        follow(act(0, "stopped"), act(0, "turns", 0.6, 0.6), act(1, kind), act(1 + each, "at rest")).share
        for each in (short, long)
    )
    assert (less.mid <= more.mid) if kind == "on wrist" else (less.mid >= more.mid)


@given(st.floats(0, 3000), st.floats(0, 3000))
def test_more_turns_of_a_winder_never_leave_less(one: float, other: float) -> None:
    fewer, more = sorted((one, other))
    less, full = (
        follow(act(0, "full"), act(10, "on winder", each), act(40, "at rest")).share for each in (fewer, more)
    )
    assert less.mid <= full.mid


@given(st.lists(st.floats(0, 40), min_size=1, max_size=6))
def test_lying_in_steps_is_lying_at_once(hours: list[float]) -> None:
    """What goes into the train in some hours does not hang on how often one looks at the clock."""
    steps = [act(each, "at rest") for each in sorted(hours)]
    often, once = follow(act(0, "full"), *steps).share, follow(act(0, "full"), steps[-1]).share
    assert astuple(often) == pytest.approx(astuple(once), abs=1e-9)


@given(
    st.lists(
        st.tuples(
            st.floats(0, 60),
            st.sampled_from(["full", "stopped", "some", "going", "on wrist", "on winder", "at rest"]),
            st.floats(0, 600),
        ),
        min_size=1,
        max_size=12,
    )
)
def test_whatever_happens_the_spring_stays_between_stop_and_full(told: list[tuple[float, Kind, float]]) -> None:
    found = wound(tuple(act(at, kind, within_min=within) for at, kind, within in sorted(told)), FULL, GAINS, NOW)
    if all(kind == "going" for _, kind, _ in told):
        assert found is None
        return
    assert found is not None
    assert 0.0 <= found.share.low <= found.share.mid <= found.share.high <= 1.0
    assert found.curve.from_h < found.curve.to_h


def test_seen_going_it_had_not_stopped() -> None:
    told = [act(0, "stopped"), act(0, "on wrist"), act(5, "at rest")]
    unseen = follow(*told, act(17, "at rest"))
    seen = follow(*told, act(17, "going"), act(17, "at rest"))
    assert seen.share.low > 0.0 == unseen.share.low


def test_what_was_seen_last_is_left_to_the_run() -> None:
    assert follow(act(0, "full"), act(5, "on wrist"), act(9, "at rest"), act(20, "going")).at == START + 9 * HOUR


def test_a_reading_settles_a_winding_of_nobody_knows_how_much() -> None:
    vague = follow(act(0, "stopped"), act(0, "some"))
    assert not vague.known
    read = follow(act(0, "stopped"), act(0, "some"), act(1, "shows", 0.5, 0.05))
    assert read.known
    assert median_left(read) == pytest.approx(FULL_H / 2, rel=0.05)
    assert read.at == START + HOUR


def test_a_reading_that_fits_nothing_known_is_believed() -> None:
    read = follow(act(0, "full"), act(1, "shows", 0.2, 0.05))
    assert read.share.mid == pytest.approx(0.2, abs=0.03)


def test_on_the_wrist_it_is_told_for_now_and_as_if_laid_down_now() -> None:
    found = wound((Act(NOW - 2 * HOUR, 0.0, "full"), Act(NOW - HOUR, 0.0, "on wrist")), FULL, GAINS, NOW)
    assert found is not None
    assert found.at == NOW
    assert found.share.low > 0.95
    assert median_left(found) == pytest.approx(FULL_H, rel=0.03)


def test_a_winder_holds_starves_or_is_not_known() -> None:
    holds = follow(act(0, "full"), act(1, "on winder", 1000))
    starves = follow(act(0, "full"), act(1, "on winder", 350))
    unknown = follow(act(0, "full"), act(1, "on winder"))
    assert (holds.known, starves.known, unknown.known) == (True, True, False)
    assert (holds.holds, starves.holds) == (1.0, 0.0)
    # Of the turns it needs about half come: it loses half as fast.
    assert median_left(starves) == pytest.approx(41 / (1 - 350 / 725), rel=0.05)
    assert follow(act(0, "full")).holds is None


def test_a_winder_that_holds_has_filled_it_by_now_however_it_was_wound() -> None:
    told = (act(0, "stopped"), act(0, "some"), act(1, "on winder", 1000))
    assert not follow(*told[:2]).known
    filled = follow(*told)
    assert filled.known
    assert filled.share.low == 1.0
    assert not follow(*told[:2], act(1, "on winder", 400)).known


def test_a_loosely_noted_moment_widens_what_is_known() -> None:
    exact = follow(act(0, "full"), act(20, "on wrist"), act(20, "at rest")).share
    loose = follow(act(0, "full"), act(20, "on wrist", within_min=240), act(20, "at rest")).share
    assert loose.high - loose.low > 2 * (exact.high - exact.low)


def test_a_curve_of_hours_keeps_their_quantiles() -> None:
    hours = np.geomspace(5.0, 80.0, 1024)
    curve = curve_of(hours)
    for risk in (0.05, 0.5, 0.95):
        assert hours_at_risk(curve, risk) == pytest.approx(float(np.quantile(hours, risk)), rel=0.03)


def test_found_standing_on_the_wrist_it_is_worn_no_more() -> None:
    found = follow(act(0, "full"), act(1, "on wrist"), act(60, "stopped"), act(61, "turns", 1.0, 1.0))
    assert found.at == START + 61 * HOUR


def test_a_month_of_wear_is_followed_within_its_band() -> None:
    """Where wear does what is believed of it, the 90 % band of hours left holds the truth about as often as it says."""
    told = followed("as believed", 24)
    assert told.known > told.moments / 2, told
    assert 0.85 <= told.within <= 0.96, told
    assert told.off_h < 6.0, told


@pytest.mark.parametrize("kind", ["brisk", "sluggish"])
def test_a_wearer_far_from_usual_is_still_held_four_times_in_five(kind: Wearer) -> None:
    told = followed(kind, 8)
    assert told.known > told.moments / 3, told
    assert told.within >= 0.8, told
