from random import Random
from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sensors.kinds import Level
from sensors.rest import Setup, fold
from sensors.thresholds import LEAST_READINGS, SENTENCES, Learned, NotApart, Why, learn

TEN = range(LEAST_READINGS)
LEVELS = st.lists(st.floats(-1e6, 1e6), min_size=LEAST_READINGS, max_size=30)


def test_levels_that_never_vary_are_parted_in_thirds() -> None:
    learned = learn([1.0] * 10, [0.4] * 10)
    assert isinstance(learned, Learned)
    assert (learned.upper, learned.lower, learned.separation) == pytest.approx((0.8, 0.6, 1.0))


def test_sounds_that_scatter_by_a_factor_are_parted_by_ratio() -> None:
    chance = Random(1)
    going = [chance.lognormvariate(0, 0.5) for _ in range(60)]
    stopped = [chance.lognormvariate(-5, 0.5) for _ in range(60)]
    learned = learn(going, stopped)
    assert isinstance(learned, Learned)
    assert max(stopped) < learned.lower < learned.upper < min(going)
    assert learned.upper / learned.lower == pytest.approx((min(going) / max(stopped)) ** (1 / 3))


@pytest.mark.parametrize(
    ("going", "stopped", "sentence"),
    [
        (
            [1.0] * 9,
            [0.0] * 30,
            "Going and stopped can't be told apart yet: at least 10 readings of each are needed.",
        ),
        (
            [0.1] * 10,
            [0.9] * 10,
            "Going and stopped can't be told apart: it was louder without the watch than with it.",
        ),
        ([1.0] * 10, [1.0] * 10, "Going and stopped can't be told apart: their levels lie too near each other."),
        (
            [1.0] * 9 + [0.2],
            [0.1] * 9 + [0.3],
            "Going and stopped can't be told apart: their levels lie too near each other.",
        ),
    ],
)
def test_what_can_not_be_told_apart_is_said_with_the_reason(
    going: list[float], stopped: list[float], sentence: str
) -> None:
    found = learn(going, stopped)
    assert isinstance(found, NotApart)
    assert found.sentence == sentence


def test_every_reason_has_its_sentence() -> None:
    assert set(SENTENCES) == set(get_args(Why))


@settings(max_examples=200, deadline=None, derandomize=True)
@given(LEVELS, LEVELS, st.floats(0, 4e6))
def test_no_reading_learned_from_contradicts_the_thresholds(
    going: list[float], stopped: list[float], apart: float
) -> None:
    louder = [level + apart for level in going]
    learned = learn(louder, stopped)
    if isinstance(learned, Learned):
        level = Level(learned.upper, learned.lower)
        assert {level.sign(each).says for each in louder} == {"going"}
        assert {level.sign(each).says for each in stopped} == {"stopped"}


def test_the_unit_of_the_level_does_not_matter() -> None:
    chance = Random(3)
    going, stopped = ([chance.gauss(mean, 1) for _ in TEN] for mean in (12, 2))
    one, other = learn(going, stopped), learn([1000 * each for each in going], [1000 * each for each in stopped])
    assert isinstance(one, Learned)
    assert isinstance(other, Learned)
    assert (other.upper, other.lower, other.separation) == pytest.approx(
        (1000 * one.upper, 1000 * one.lower, one.separation)
    )


def test_two_stretches_of_the_same_noise_are_not_told_apart() -> None:
    chance = Random(4)
    trials = [learn([chance.gauss(0, 1) for _ in TEN], [chance.gauss(0, 1) for _ in TEN]) for _ in range(2000)]
    assert not any(isinstance(found, Learned) for found in trials)


def test_thresholds_that_are_learned_make_no_stop_of_a_going_watch() -> None:
    chance = Random(5)
    learnt = 0
    for apart in (3.0, 4.0, 5.0, 6.0) * 25:
        found = learn([chance.gauss(apart, 1) for _ in TEN], [chance.gauss(0, 1) for _ in TEN])
        if isinstance(found, Learned):
            learnt += 1
            setup = Setup(Level(found.upper, found.lower), 60.0)
            day = [(60.0 * at, chance.gauss(apart, 1)) for at in range(1440)]
            assert fold(setup, day)[1] == []
    assert learnt > 20
