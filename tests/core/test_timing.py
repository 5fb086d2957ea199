"""What timing readings come to."""

import random
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.core.timing import (
    POSITIONS,
    Position,
    Reading,
    amplitude_after_24h,
    amplitude_full,
    doubts,
    low_after_24h,
    newest_sitting,
    summary,
    with_lift,
)

AT = datetime(2026, 11, 2, 9, tzinfo=UTC)


def reading(position: Position = "CH", *, minutes: float | None = 30.0, days: float = 0.0, **told: Any) -> Reading:
    return Reading(
        uid=f"{position}{minutes}", at=AT + timedelta(days=days), position=position, since_wind_min=minutes, **told
    )


FULL = [
    reading(position, rate_s_per_day=rate)
    for position, rate in zip(POSITIONS, (4.0, 6.0, 0.0, -2.0, 2.0, 1.0), strict=True)
]


def test_mean_spread_and_flat_less_hanging() -> None:
    told = summary(FULL).full
    assert told.mean_rate
    assert told.mean_rate.value == pytest.approx(11.0 / 6.0)
    assert told.mean_rate.readings == 6
    assert told.spread
    assert told.spread.value == 8.0
    assert told.flat_hang
    assert told.flat_hang.value == pytest.approx(5.0 - 0.25)


def test_a_position_read_twice_counts_once() -> None:
    told = summary([*FULL, reading("CH", rate_s_per_day=4.0)]).full.mean_rate
    assert told
    assert told.value == pytest.approx(11.0 / 6.0)
    assert told.readings == 7


def test_isochronism_compares_positions_read_at_both() -> None:
    day = [reading("CH", minutes=24 * 60, rate_s_per_day=7.0), reading("6H", minutes=25 * 60, rate_s_per_day=-6.0)]
    told = summary([*FULL[:3], *FULL[3:4], *day]).isochronism
    assert told
    assert told.value == pytest.approx(((7.0 - 4.0) + (-6.0 + 2.0)) / 2)
    assert told.readings == 4


def test_one_position_has_a_rate_and_no_spread() -> None:
    told = summary([FULL[0]])
    assert told.full.mean_rate
    assert told.full.spread is told.full.flat_hang is told.isochronism is None


def test_amplitudes_are_of_the_flat_positions_and_say_if_the_lift_angle_was_assumed() -> None:
    told = [
        reading("CH", amplitude_deg=290.0, lift_assumed=False, lift_angle_deg=50.0),
        reading("CB", amplitude_deg=280.0),
    ]
    late = [reading("CH", minutes=1440, amplitude_deg=230.0, lift_assumed=False), reading("3H", amplitude_deg=200.0)]
    full, day = amplitude_full([*told, *late]), amplitude_after_24h([*told, *late])
    assert full
    assert (full.value, full.readings, full.assumed) == (285.0, 2, True)
    assert day
    assert (day.value, day.readings, day.assumed) == (230.0, 1, False)


def test_no_reading_no_amplitude() -> None:
    assert amplitude_full([]) is None
    assert amplitude_after_24h([reading(amplitude_deg=280.0), reading(minutes=None, amplitude_deg=200.0)]) is None


def test_only_the_newest_sitting_counts() -> None:
    old = [reading("CH", days=-30.0, amplitude_deg=300.0, occasion="before service")]
    new = [
        reading("CH", amplitude_deg=270.0, occasion="after service"),
        reading("CH", minutes=1440, days=1.0, occasion="after service"),
    ]
    assert newest_sitting([*old, *new]) == new
    assert newest_sitting([*old, *new], "before service") == old
    told = amplitude_full([*old, *new])
    assert told
    assert told.value == 270.0


def test_an_amplitude_follows_the_lift_angle_entered_since() -> None:
    told = with_lift(reading(amplitude_deg=260.0), 49.0)
    assert told.amplitude_deg == pytest.approx(260.0 * 49 / 52)
    assert not told.lift_assumed
    entered = reading(amplitude_deg=260.0, lift_assumed=False)
    assert with_lift(entered, 49.0) == entered
    assert with_lift(reading(amplitude_deg=260.0), None).lift_assumed


@pytest.mark.parametrize(
    ("told", "expected"),
    [
        ({"vibrations_per_hour": 28_800, "rate_s_per_day": 5.0, "amplitude_deg": 285.0, "beat_error_ms": 0.3}, ()),
        ({"vibrations_per_hour": 23_000}, ("beat rate",)),
        ({"lift_angle_deg": 80.0}, ("lift angle",)),
        ({"amplitude_deg": 120.0}, ("low amplitude",)),
        ({"amplitude_deg": 345.0}, ("knocking",)),
        ({"beat_error_ms": 1.4}, ("beat error",)),
        ({"rate_s_per_day": 420.0, "vibrations_per_hour": 18_000}, ("rate",)),
        ({"rate_s_per_day": 8640.0, "vibrations_per_hour": 18_000}, ("wrong beat rate",)),
    ],
)
def test_what_can_hardly_be_so(told: dict[str, Any], expected: tuple[str, ...]) -> None:
    assert doubts(reading(**told)) == expected


RATES = st.floats(-50.0, 50.0)


@given(st.dictionaries(st.sampled_from(POSITIONS), RATES, min_size=2), RATES, st.randoms())
def test_figures_do_not_care_for_order_and_follow_a_shift(
    rates: dict[Position, float], by: float, throws: random.Random
) -> None:
    told = [reading(position, rate_s_per_day=rate) for position, rate in rates.items()]
    moved = [reading(position, rate_s_per_day=rate + by) for position, rate in rates.items()]
    throws.shuffle(moved)
    first, second = summary(told).full, summary(moved).full
    assert first.mean_rate
    assert second.mean_rate
    assert first.spread
    assert second.spread
    assert second.mean_rate.value == pytest.approx(first.mean_rate.value + by, abs=1e-9)
    assert second.spread.value == pytest.approx(first.spread.value, abs=1e-9)
    assert min(rates.values()) - 1e-9 <= first.mean_rate.value <= max(rates.values()) + 1e-9


def late(*degrees: float, days: float = 0.0, assumed: bool = False, position: Position = "CH") -> list[Reading]:
    told = {"lift_assumed": assumed, "minutes": 1440, "days": days}
    return [reading(position, amplitude_deg=each, **told) for each in degrees]


def test_a_low_amplitude_after_24_h_speaks_for_a_service_from_two_readings_on() -> None:
    found = low_after_24h(late(204.0, 210.0), None)
    assert found
    assert (found.value, found.readings) == (207.0, 2)
    assert low_after_24h(late(204.0), None) is None
    assert low_after_24h([], None) is None


def test_it_does_not_speak_when_it_is_not_low_or_hangs_or_its_lift_angle_is_assumed() -> None:
    assert low_after_24h(late(220.0, 220.0), None) is None
    assert low_after_24h(late(190.0, 190.0, position="6H"), None) is None
    assert low_after_24h(late(204.0, 210.0, assumed=True), None) is None
    assert low_after_24h([*late(204.0), *late(210.0, assumed=True)], None) is None


def test_only_readings_since_the_service_speak_and_the_newest_that_read_it() -> None:
    old, full = late(204.0, 210.0), reading("CH", amplitude_deg=280.0, days=40.0, lift_assumed=False)
    assert low_after_24h(old, AT + timedelta(days=1)) is None
    assert low_after_24h([*old, full], AT) is not None
    assert low_after_24h([*old, *late(250.0, 255.0, days=30.0)], AT) is None


@given(st.lists(st.tuples(st.floats(100, 330), st.booleans()), max_size=6))
def test_it_is_never_drawn_from_an_assumed_lift_angle(read: list[tuple[float, bool]]) -> None:
    found = low_after_24h([each for deg, assumed in read for each in late(deg, assumed=assumed)], None)
    if found:
        assert not any(assumed for _, assumed in read)
        assert found.value < 220
