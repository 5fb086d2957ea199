import json
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sensors import winder
from sensors.counter import Counter
from sensors.follow import Follower, Mark
from sensors.rest import Unlike
from sensors.turns import Direction, Hour
from sensors.winder import Increments, Power, Reports, Setup, Turning
from tests.sensors.winderlife import BEGIN_S, EXPECTED_S, Readings, fed, lived, read_out, sums, turned


def minutes(*values: float) -> Readings:
    return [(BEGIN_S + place * 60.0, value) for place, value in enumerate(values)]


def test_a_channel_that_turns_makes_its_speed_times_the_time() -> None:
    hours = fed(Setup(Turning(8, "clockwise"), EXPECTED_S), minutes(1, 1, 0, 0, 1, 0))
    assert sums(hours) == (24, 0, 0)


def test_a_sign_tells_which_way_it_turns() -> None:
    hours = fed(Setup(Turning(8, "sign"), EXPECTED_S), minutes(1, -1, -1, 0))
    assert sums(hours) == (8, 16, 0)


def test_watts_above_the_threshold_are_turning_and_their_exact_number_is_no_matter() -> None:
    power = Setup(Power(1.5, 10), EXPECTED_S)
    assert sums(fed(power, minutes(0.3, 2.1, 2.4, 1.5, 0.2))) == (0, 0, 20)
    assert sums(fed(power, [*minutes(2.1, 2.4), (BEGIN_S, 2.2)])) == (0, 0, 10)


def test_increments_are_added_and_their_signs_are_directions() -> None:
    assert sums(fed(Setup(Increments("sign", per_turn=2), EXPECTED_S), minutes(4, -6, 8))) == (6, 3, 0)


def test_an_increment_below_nothing_counts_nothing_where_the_sign_has_no_meaning() -> None:
    assert sums(fed(Setup(Increments(), EXPECTED_S), minutes(4, -6, 8))) == (0, 0, 12)


def test_lost_increments_are_lost_and_their_time_is_not_accounted_for() -> None:
    hours = fed(Setup(Increments("clockwise"), EXPECTED_S), [*minutes(5, 5), (BEGIN_S + 1800, 5.0)])
    assert [(hour.clockwise, hour.known_s) for hour in hours] == [(5, 60), (10, 120)]


@pytest.mark.parametrize("reports", [Turning(8), Power(1, 8)])
def test_in_a_silence_nothing_is_known_of_a_channel_that_only_says_whether_it_turns(reports: Reports) -> None:
    hours = fed(Setup(reports, EXPECTED_S), [*minutes(2, 2), (BEGIN_S + 1800, 2.0), (BEGIN_S + 1860, 2.0)])
    assert [(hour.turns, hour.known_s) for hour in hours] == [(16, 120)]


@pytest.mark.parametrize(
    ("reports", "values", "turns"),
    [(Turning(8), (1, 0), 8), (Increments(), (3, 4), 15), (Counter(), (11, 12), 15)],
)
def test_readings_of_one_stamp_that_contradict_each_other_tell_nothing(
    reports: Reports, values: tuple[float, float], turns: float
) -> None:
    readings = minutes(*(1, 1, 1, 1)) if isinstance(reports, Turning) else minutes(5, 10, 15, 20)
    if isinstance(reports, Increments):
        readings = minutes(5, 5, 5, 5)
    readings[1:2] = [(BEGIN_S + 60, value) for value in values]
    follower: Follower[winder.Course, winder.Found] = Follower(Setup(reports, EXPECTED_S))
    follower.add(readings)
    assert [each for each in follower.recent if isinstance(each, Unlike)] == [
        Unlike(BEGIN_S + 60, tuple(sorted(values)))
    ]
    told = sum(hour.turns for hour in winder.hours(follower.recent, follower.course))
    assert told == pytest.approx(turns)


REPORTS = st.sampled_from(
    [
        Counter("clockwise"),
        Counter("sign", wraps_at=20),
        Counter("word", restarts_at_zero=True),
        Increments("sign"),
        Turning(8, "word"),
        Power(4, 8),
    ]
)


@settings(max_examples=80, deadline=None)
@given(REPORTS, st.lists(st.tuples(st.integers(0, 300), st.integers(-9, 40)), max_size=40), st.integers(0, 999))
def test_readings_doubled_and_in_any_order_tell_the_same(
    reports: Reports, steps: list[tuple[int, int]], seed: int
) -> None:
    chance = Random(seed)
    readings = [(BEGIN_S + 60.0 * minute, float(value)) for minute, value in steps]
    mixed = readings + [each for each in readings if chance.random() < 0.5]
    chance.shuffle(mixed)
    setup = Setup(reports, EXPECTED_S)
    assert fed(setup, *([each] for each in mixed)) == fed(setup, sorted(readings))


@settings(max_examples=80, deadline=None)
@given(REPORTS, st.lists(st.tuples(st.integers(0, 3000), st.integers(-9, 40)), max_size=40))
def test_hours_come_once_each_in_order_and_hold_no_more_than_an_hour(
    reports: Reports, steps: list[tuple[int, int]]
) -> None:
    readings = [(BEGIN_S + 60.0 * minute, float(value)) for minute, value in steps]
    hours = fed(Setup(reports, EXPECTED_S), sorted(readings))
    assert [hour.hour for hour in hours] == sorted({hour.hour for hour in hours})
    assert all(0 <= hour.known_s <= 3600 + 1e-6 and hour.turns >= 0 for hour in hours)


@pytest.mark.parametrize("reports", [Counter("sign"), Increments("sign"), Turning(8, "sign")])
def test_taken_up_again_from_what_was_kept_it_tells_the_same(reports: Reports) -> None:
    chance = Random(3)
    stretches = lived(chance, 72)

    def shown(after_s: float) -> float:
        clockwise, anticlockwise = turned(stretches, after_s)
        before, against = turned(stretches, after_s - 60)
        if isinstance(reports, Counter):
            return clockwise - anticlockwise
        step = clockwise - before - anticlockwise + against
        return step if isinstance(reports, Increments) else float(step > 0) - float(step < 0)

    readings = read_out(3 * 1440, shown)
    setup = Setup(reports, EXPECTED_S)
    follower: Follower[winder.Course, winder.Found] = Follower(setup)
    follower.add(readings[:3200])
    settled = follower.settled()
    upto_s, course = json.loads(json.dumps([follower.mark.upto_s, winder.kept(follower.mark.course)]))
    again: Follower[winder.Course, winder.Found] = Follower(setup, Mark(upto_s, winder.again(course)))
    again.add([each for each in readings if each[0] > upto_s])
    settled += again.settled()
    assert len(settled) > 24
    assert winder.hours(settled + again.recent, again.course) == fed(setup, readings)


def test_a_count_broken_off_is_kept_too() -> None:
    setup = Setup(Counter(restarts_at_zero=True), EXPECTED_S)
    course = winder.BEGIN
    for at_s, value in minutes(100, 108, 3, 9):
        course, _ = setup.advance(course, at_s, [value])
    assert course.broken is not None
    assert winder.again(json.loads(json.dumps(winder.kept(course)))) == course


@pytest.mark.parametrize("told", ["clockwise", "anticlockwise", "not known"])
def test_a_topic_for_each_direction_tells_it_by_the_channel(told: Direction) -> None:
    directions = {"clockwise": (8, 0, 0), "anticlockwise": (0, 8, 0), "not known": (0, 0, 8)}
    assert sums(fed(Setup(Counter(told), EXPECTED_S), minutes(0, 8))) == directions[told]


def test_an_hour_tells_its_turns_and_how_much_of_it_is_known() -> None:
    hour = Hour(1, 3, 4, 5, heard_s=600, bridged_s=1200)
    assert (hour.turns, hour.known_s) == (12, 1800)
