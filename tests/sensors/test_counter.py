from itertools import pairwise
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sensors import winder
from sensors.counter import Counter
from tests.sensors.winderlife import BEGIN_S, EXPECTED_S, Readings, fed, lived, read_out, sums, turned

HOUR_S = 3600.0


def counts(*values: float) -> Readings:
    return [(BEGIN_S + place * EXPECTED_S, value) for place, value in enumerate(values)]


def counted(counter: Counter, *values: float) -> float:
    return sum(sums(fed(winder.Setup(counter, EXPECTED_S), counts(*values))))


@pytest.mark.parametrize(
    ("counter", "values", "turns"),
    [
        (Counter(), (100, 110, 118), 18),
        (Counter(per_turn=4), (100, 140, 180), 20),
        (Counter(wraps_at=256), (250, 254, 2, 9), 15),
        (Counter(), (250, 254, 2, 9, 15, 20, 26), 4 + 24),
        (Counter(restarts_at_zero=True), (250, 254, 2, 9, 15, 20, 26), 4 + 26),
        (Counter(restarts_at_zero=True, wraps_at=65536), (250, 254, 2, 9, 15, 20, 26), 4 + 26),
        (Counter(), (1000, 950, 958, 965, 973, 980), 30),
        (Counter(), (100, 99999, 110, 118), 18),
        (Counter(), (100, 5000, 5008, 5016, 5024, 5032), 32),
        (Counter(), (100, 110, 100, 118), 18),
        (Counter(restarts_at_zero=True), (100, 110, 0, 118), 18),
    ],
    ids=[
        "in order",
        "counts a turn",
        "wraps",
        "falls",
        "restarts",
        "restarts far from where it wraps",
        "jumps back to a number kept",
        "one wild reading",
        "another counter put in its place",
        "an old message again",
        "one wild reading that looks like a restart",
    ],
)
def test_a_count_tells_no_more_turns_than_it_shows(counter: Counter, values: tuple[float, ...], turns: float) -> None:
    assert counted(counter, *values) == pytest.approx(turns)


def test_what_is_held_in_doubt_counts_once_the_count_has_not_come_back() -> None:
    still_in_doubt = counted(Counter(), 1000, 950, 958, 965)
    assert still_in_doubt == 0
    assert counted(Counter(), 1000, 950, 958, 965, 970, 970) == 20


def test_a_silence_is_bridged_and_its_turns_spread_evenly() -> None:
    readings = [(BEGIN_S, 0.0), (BEGIN_S + 3 * HOUR_S, 300.0)]
    hours = fed(winder.Setup(Counter("clockwise"), EXPECTED_S), readings)
    assert [hour.clockwise for hour in hours] == pytest.approx([100] * 3)
    assert [(hour.bridged_s, hour.heard_s) for hour in hours] == [(3600, 0)] * 3


def test_a_fall_after_a_long_silence_is_no_wrap_unless_the_turns_of_an_hour_could_bring_it_about() -> None:
    setup = winder.Setup(Counter(wraps_at=65536), EXPECTED_S)
    far = [(BEGIN_S, 60_000.0), (BEGIN_S + 10 * HOUR_S, 5.0)]
    near = [(BEGIN_S, 65_000.0), (BEGIN_S + 10 * HOUR_S, 5.0)]
    assert fed(setup, far) == []
    assert sum(sums(fed(setup, near))) == pytest.approx(541)


def test_a_count_that_goes_up_and_down_tells_both_directions_by_its_sign() -> None:
    hours = fed(winder.Setup(Counter("sign"), EXPECTED_S), counts(0, 8, 16, 10, 2, -6))
    assert sums(hours) == (16, 22, 0)


def test_a_count_that_goes_up_and_down_wraps_both_ways() -> None:
    hours = fed(winder.Setup(Counter("sign", wraps_at=256), EXPECTED_S), counts(250, 2, 250))
    assert sums(hours) == (8, 8, 0)


def test_a_word_beside_the_count_tells_the_direction_of_the_latest_turns() -> None:
    hours = fed(winder.Setup(Counter("word"), EXPECTED_S), counts(100, 108, -116, -124, 130))
    assert sums(hours) == (14, 16, 0)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6), st.sampled_from([None, 256, 1000, 65536]))
def test_an_honest_counter_tells_every_turn_through_wraps_and_losses(seed: int, wraps_at: int | None) -> None:
    chance = Random(seed)
    stretches = lived(chance, 12)
    begin = chance.randint(0, 65536)

    def shown(after_s: float) -> float:
        count = begin + sum(turned(stretches, after_s))
        return count if wraps_at is None else count % wraps_at

    readings = read_out(720, shown)
    # 25 minutes at 8 turns make 200: a counter that wraps at 256 is told from one that did not.
    got = [readings[0], *(each for each in readings[1:-1] if chance.random() < 0.4), readings[-1]]
    longest_s = max(after[0] - before[0] for before, after in pairwise(got))
    hours = fed(winder.Setup(Counter(wraps_at=wraps_at), EXPECTED_S), got)
    told = sum(sums(hours))
    assert longest_s <= 25 * 60
    assert told == pytest.approx(sum(turned(stretches, 720 * 60)))
    assert sum(hour.known_s for hour in hours) == pytest.approx(720 * 60)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6), st.sampled_from(["to zero", "to zero, as said", "to the number kept each hour"]))
def test_through_losses_of_power_no_turn_is_invented_and_few_are_missed(seed: int, goes_back: str) -> None:
    """The turns of a lost stretch, and those that are in doubt at the end, may be missing."""
    chance, to_zero = Random(seed), goes_back.startswith("to zero")
    stretches = lived(chance, 12)
    shown, last, kept, failures, readings = 0.0, 0.0, 0.0, 0, []
    for minute in range(721):
        now = sum(turned(stretches, minute * 60.0))
        shown, last = shown + now - last, now
        if minute % 60 == 0:
            kept = shown
        if chance.random() < 0.01:
            shown, failures = 0.0 if to_zero else kept, failures + 1
        if chance.random() < 0.9 or minute in {0, 720}:
            readings.append((BEGIN_S + minute * 60.0, shown))
    told = sum(sums(fed(winder.Setup(Counter(restarts_at_zero=goes_back == "to zero, as said"), EXPECTED_S), readings)))
    assert told <= last + 1e-6
    longest = max(after[0] - before[0] for before, after in pairwise(readings)) / 60
    lost_each = 8 * (longest + 60 * (not to_zero))
    assert told >= last - failures * lost_each - 8 * 4


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 90), st.integers(-5, 40)), max_size=40), st.randoms(use_true_random=False))
def test_readings_doubled_and_in_any_order_tell_the_same(steps: list[tuple[int, int]], chance: Random) -> None:
    readings = [(BEGIN_S + 60.0 * minute, float(count)) for minute, count in steps]
    setup = winder.Setup(Counter(restarts_at_zero=True), EXPECTED_S)
    mixed = readings + [each for each in readings if chance.random() < 0.5]
    chance.shuffle(mixed)
    assert fed(setup, *([each] for each in mixed)) == fed(setup, sorted(readings))
