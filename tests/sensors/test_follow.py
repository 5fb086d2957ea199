from collections.abc import Iterator, Sequence
from random import Random

import pytest

from sensors import rest
from sensors.follow import MARK_EVERY, Follower, Mark
from sensors.kinds import Boolean
from sensors.rest import Course, Found, Setup, Unlike, advance, fold
from tests.sensors.watchlife import EXPECTED_S, live, sent

SETUP = Setup(Boolean(), EXPECTED_S)
DAY_S = 86_400.0
Readings = list[tuple[float, float]]


def weeks(seed: int, days: float) -> Readings:
    chance = Random(seed)
    return sent(live(chance, days, knocked=0.5, knock_s=60), chance, days)


def as_they_come(readings: Readings, chance: Random) -> Readings:
    """A tenth up to two hours late, some a little less than a day, a twentieth twice."""
    delays = ((0.0, 0.85), (7200.0, 0.1), (0.49 * DAY_S, 0.05))
    late = [
        (at_s + chance.uniform(0, chance.choices(*zip(*delays, strict=True))[0]), (at_s, value))
        for at_s, value in readings
    ]
    twice = [(arrived_s + chance.uniform(0, 3600), reading) for arrived_s, reading in late if chance.random() < 0.05]
    return [reading for _, reading in sorted(late + twice)]


def batches(readings: Readings, chance: Random) -> Iterator[Readings]:
    place = 0
    while place < len(readings):
        size = chance.randint(1, 200)
        yield readings[place : place + size]
        place += size


def followed(
    arrivals: Sequence[Readings], follower: Follower[Course, Found] | None = None
) -> tuple[Course, list[Found]]:
    """All that a follower handed out and still has, and what it knows at the end."""
    follower = follower or Follower(SETUP)
    settled: list[Found] = []
    for batch in arrivals:
        assert follower.add(batch) == []
        settled += follower.settled()
    return follower.course, settled + follower.recent


def test_whatever_the_order_within_a_day_the_spans_are_those_of_the_readings_in_order() -> None:
    readings = weeks(1, days=12)
    expected = fold(SETUP, readings)
    assert len(expected[1]) > 30
    for seed in range(3):
        chance = Random(seed)
        assert followed(list(batches(as_they_come(readings, chance), chance))) == expected


def test_one_by_one_and_in_batches_give_the_same() -> None:
    arrivals = as_they_come(weeks(2, days=5), Random(5))
    assert followed([[reading] for reading in arrivals]) == followed([arrivals])


def test_a_contradiction_that_comes_late_takes_both_readings_back() -> None:
    follower = Follower(SETUP)
    follower.add([(60.0 * at, 1.0) for at in range(10)])
    assert follower.recent == []
    follower.add([(300.0, 0.0)])
    assert follower.recent == [Unlike(300, (0.0, 1.0))]


def test_what_is_later_than_24_hours_behind_the_newest_is_refused_and_changes_nothing() -> None:
    follower = Follower(SETUP)
    follower.add([(2 * DAY_S, 1.0)])
    before = follower.course
    late = [(DAY_S - 0.1, 0.0)]
    assert follower.add([*late, (DAY_S, 1.0)]) == late
    assert follower.course == before


def test_what_is_settled_never_changes_and_is_handed_out_once() -> None:
    follower = Follower(SETUP)
    follower.add(weeks(3, days=6))
    settled = follower.settled()
    assert settled
    assert follower.settled() == []
    assert follower.mark.upto_s < 5 * DAY_S
    assert follower.add([(follower.mark.upto_s, 0.0)]) == [(follower.mark.upto_s, 0.0)]


def test_after_a_restart_it_goes_on_from_its_mark() -> None:
    readings = weeks(4, days=8)
    half = len(readings) // 2
    first = Follower(SETUP)
    first.add(readings[:half])
    kept, mark = first.settled(), first.mark
    again = [reading for reading in readings if reading[0] > mark.upto_s]
    course, found = followed([again], Follower(SETUP, Mark(*mark)))
    assert (course, kept + found) == fold(SETUP, readings)


@pytest.fixture
def steps(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """The stamps of every step the state machine makes."""
    taken: list[float] = []

    def counted(setup: Setup, course: Course, at_s: float, values: Sequence[float]) -> tuple[Course, list[Found]]:
        taken.append(at_s)
        return advance(setup, course, at_s, values)

    monkeypatch.setattr(rest, "advance", counted)
    return taken


def test_readings_in_order_cost_one_step_each_however_long_it_goes_on(steps: list[float]) -> None:
    readings = weeks(5, days=60)
    follower = Follower(SETUP)
    for reading in readings:
        follower.add([reading])
    assert steps == [at_s for at_s, _ in readings]


def test_a_late_reading_costs_no_more_than_what_came_after_it_and_a_mark(steps: list[float]) -> None:
    follower = Follower(SETUP)
    follower.add([(60.0 * at, 1.0) for at in range(20_000)])
    steps.clear()
    follower.add([(60.0 * 19_900 + 1, 1.0)])
    assert len(steps) <= 100 + MARK_EVERY


def test_no_more_than_a_day_and_a_mark_is_kept() -> None:
    follower = Follower(SETUP)
    for at in range(0, 40_000, 100):
        follower.add([(60.0 * (at + each), 1.0) for each in range(100)])
    assert len(follower._stamps) <= 1440 + 2 * MARK_EVERY
