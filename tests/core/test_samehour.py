"""Stops that crowd at one hour of the dial."""

import random
from datetime import UTC, datetime, timedelta

import pytest
from scipy.stats import binom

from tracker.core.samehour import WINDOWS_MIN, SameHour, crowding, same_hour

DAY = timedelta(days=1)
START = datetime(2026, 3, 1, tzinfo=UTC)
TURN = 720


def wound_anyhow(stops_at: list[int | None]) -> list[tuple[datetime, int | None]]:
    """Runs begun at hours all over the day."""
    rng = random.Random(4)
    return [(START + i * 2 * DAY + timedelta(hours=rng.uniform(0, 24)), at) for i, at in enumerate(stops_at)]


def test_stops_at_one_hour_are_told_with_their_place_and_their_odds() -> None:
    found = same_hour(wound_anyhow([700, 715, 5, 710, 300, 712, None, 3, 708]), 40.0, 12)
    assert found is not None
    assert (found.count, found.of, found.from_min, found.to_min) == (7, 8, 700, 5)
    assert found.by_chance < 1e-4


@pytest.mark.parametrize("stops_at", [[], [None] * 9, [10, 15, 20], [10, 130, 250, 370, 490, 610, 700, 60]])
def test_few_or_scattered_stops_are_no_sign(stops_at: list[int | None]) -> None:
    assert same_hour(wound_anyhow(stops_at), 40.0, 12) is None


def test_a_watch_wound_at_one_hour_stops_at_one_hour_and_that_is_no_sign() -> None:
    stops = [(START + i * 2 * DAY, 240 + i % 5) for i in range(12)]
    assert same_hour(stops, 40.0, 12) is None


def test_a_dial_of_24_hours_has_room_for_twice_as_many() -> None:
    stops = wound_anyhow([700, 710, 705, 1420])
    on_24 = same_hour([*stops, *wound_anyhow([702])], 40.0, 24)
    assert on_24 is not None
    assert on_24.count == 4


@pytest.mark.parametrize("seed", range(3))
def test_the_odds_are_no_less_than_what_even_stops_give(seed: int) -> None:
    rng, stops, lives = random.Random(seed), 6, 3000
    spread = [[rng.randrange(TURN) for _ in range(stops)] for _ in range(lives)]
    found = [same_hour(wound_anyhow(list(each)), 40.0, 12) for each in spread]
    assert sum(isinstance(each, SameHour) for each in found) / lives <= 0.01


def test_the_bound_is_the_binomial_tail_for_each_point() -> None:
    for points, crowd, width in ((8, 4, WINDOWS_MIN[0]), (20, 14, WINDOWS_MIN[2])):
        share = width / TURN
        assert crowding(points, crowd, share) == pytest.approx(points * binom.sf(crowd - 2, points - 1, share))
