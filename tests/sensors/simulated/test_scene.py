import json
from functools import cache
from typing import Any

import pytest

from sensors import payload, rest, winder
from sensors.follow import Follower
from sensors.payload import Reading
from sensors.sensor import Sensor
from sensors.simulated.channel import Fields
from sensors.simulated.events import Event, Faults
from sensors.simulated.scene import Scene, scene, truth
from tracker.commands.sensor import SensorFields
from tracker.store.sensors import sensor_from_row

BEGIN_S = 1_795_644_000.0
DAY_S = 86_400.0
MOST = Faults(lost=0.05, doubled=0.05, late=0.1, outages_a_week=2, resets_a_week=2, leftover=True)


def as_set_up(fields: Fields) -> Sensor:
    """The sensor that this set-up makes when it is taken in."""
    row = SensorFields(**fields).model_dump()
    return sensor_from_row({**row, "uid": fields["name"], "watch_vph": None, "archived_utc": None, "version": 1})


@cache
def played(days: float = 5, seed: str = "one", faults: Faults = MOST) -> Scene:
    return scene(seed, BEGIN_S, BEGIN_S + days * DAY_S, watches=9, seats=4, faults=faults)


@cache
def _sent(days: float, seed: str, faults: Faults) -> tuple[Event, ...]:
    return tuple(played(days, seed, faults).events())


def sent(told: Scene) -> tuple[Event, ...]:
    return _sent((told.end_s - told.begin_s) / DAY_S, told.seed, told.faults)


def readings(events: tuple[Event, ...], sensor: Sensor) -> list[Reading]:
    """What its messages say, but for retained ones."""
    own = [event for event in events if event.topic == sensor.topic and not event.retained]
    read = [each for event in own for each in payload.read(event.payload, sensor.form, event.due_s)]
    assert all(isinstance(each, Reading) for each in read)
    return [each for each in read if isinstance(each, Reading)]


def found(events: tuple[Event, ...], sensor: Sensor) -> tuple[Any, list[Any]]:
    follower: Follower[Any, Any] = Follower(sensor.setup)
    settled: list[Any] = []
    for each in readings(events, sensor):
        follower.add([(each.at_s, each.value)])
        settled += follower.settled()
    return follower.course, settled + follower.recent


def test_the_same_seed_tells_the_same_and_another_one_something_else() -> None:
    assert sent(played(1)) == tuple(scene("one", BEGIN_S, BEGIN_S + DAY_S, watches=9, seats=4, faults=MOST).events())
    assert sent(played(1)) != sent(played(1, "two"))


def test_messages_go_out_in_order_of_time() -> None:
    due = [event.due_s for event in sent(played(1))]
    assert due == sorted(due)


def test_a_fault_that_is_not_asked_for_does_not_happen() -> None:
    clean = sent(played(1, faults=Faults()))
    assert len(clean) == 13 * 1439
    assert len({*clean}) == len(clean)
    assert not any(event.retained for event in clean)


def test_losses_and_doubles_come_as_often_as_asked() -> None:
    events = sent(played(1, faults=Faults(lost=0.2, doubled=0.1)))
    assert len(events) == pytest.approx(13 * 1439 * 0.8 * 1.1, rel=0.02)


def test_a_leftover_lies_on_each_topic_before_anything_else() -> None:
    assert [event.retained for event in sent(played(1))[:13]] == [True] * 13


@pytest.mark.parametrize("number", range(9))
def test_the_true_stops_lie_within_the_brackets_of_what_was_sent(number: int) -> None:
    """A boolean, a level and a count of beats, each in the three ways of writing."""
    told = played()
    sensor = as_set_up(told.rests[number].fields)
    assert isinstance(sensor.setup, rest.Setup)
    stops = [each for each in found(sent(told), sensor)[1] if isinstance(each, rest.Stop)]
    true = [run.until_s for run in told.lives[number].runs if run.stopped and run.until_s < told.end_s - 600]
    # A message that came late without a stamp is read as of its arrival: such a sensor can't be sure of its times.
    late_s = told.faults.late_s if sensor.form.written == "plain" else 0.0
    for stop in stops:
        assert any(stop.after_s - 1 - late_s <= moment <= stop.before_s + 1 for moment in true)
    if not late_s:
        assert len(stops) >= len(true) - 1


def test_the_three_ways_and_the_three_kinds_all_come_up() -> None:
    fields = [each.fields for each in played().rests]
    assert len({(each["written"], each["reports"]) for each in fields}) == 9


@pytest.mark.parametrize(("number", "lost"), [(0, 0.1), (1, 0.35), (2, 0.35), (3, 0.35)])
def test_the_turns_told_are_no_more_than_those_made(number: int, lost: float) -> None:
    """A counter loses little (a restart within an outage); the others what was made while nothing was heard."""
    told = played(5, "one", Faults(lost=0.05, doubled=0.05, outages_a_week=2, resets_a_week=2))
    sensor = as_set_up(told.winders[number].fields)
    course, things = found(sent(told), sensor)
    hours = winder.hours(things, course)
    made = told.seats[number].turned(told.end_s).turns
    assert (1 - lost) * made <= sum(hour.turns for hour in hours) <= 1.04 * made


def test_turns_are_told_by_direction_where_the_channel_knows_it() -> None:
    told = played(2, "one", Faults())
    clockwise, anticlockwise = told.seats[1].turned(told.end_s)
    course, things = found(sent(told), as_set_up(told.winders[1].fields))
    hours = winder.hours(things, course)
    assert sum(hour.clockwise for hour in hours) == pytest.approx(clockwise, rel=0.02)
    assert sum(hour.anticlockwise for hour in hours) == pytest.approx(anticlockwise, rel=0.02)


def test_a_seat_that_fails_makes_no_more_turns() -> None:
    told = scene("f", BEGIN_S, BEGIN_S + DAY_S, watches=0, seats=2, faults=Faults(), fails_s=BEGIN_S + DAY_S / 2)
    course, things = found(tuple(told.events()), as_set_up(told.winders[0].fields))
    hours = winder.hours(things, course)
    assert all(hour.turns == 0 for hour in hours if hour.hour * 3600 > told.begin_s + DAY_S / 2)
    assert sum(hour.known_s for hour in hours) == pytest.approx(DAY_S, rel=0.01)


def test_a_watch_that_is_lifted_falls_silent_and_goes_on() -> None:
    told = scene("l", BEGIN_S, BEGIN_S + 7 * DAY_S, watches=1, faults=Faults(lifted_a_week=20))
    sensor = as_set_up(told.rests[0].fields)
    away = told.lives[0].away
    assert len(away) > 5
    silent = {each.at_s for each in readings(tuple(told.events()), sensor) if not each.value}
    lifted = [at_s for at_s in silent if any(begin <= at_s <= end for begin, end in away)]
    assert len(lifted) > 100
    assert any(told.lives[0].going(at_s) for at_s in lifted)


def test_two_watches_change_places_and_the_truth_says_when() -> None:
    told = scene("s", BEGIN_S, BEGIN_S + 7 * DAY_S, watches=2, faults=Faults(swaps_a_week=3))
    assert len(told.lying[0]) > 1
    (moment, now_there), before = told.lying[0][1], told.lying[0][0][1]
    assert (before, now_there) == (0, 1)
    own = [each for each in truth(told)["lying"] if each["sensor"] == "Rest 1"]
    assert [each["watch"] for each in own][:2] == ["Watch 1", "Watch 2"]
    assert moment == told.lying[1][1][0]


def test_neighbours_are_heard_where_a_watch_stands_still() -> None:
    told = scene("n", BEGIN_S, BEGIN_S + 7 * DAY_S, watches=1, faults=Faults(neighbours=0.5))
    heard = readings(tuple(told.events()), as_set_up(told.rests[0].fields))
    still = [each.value for each in heard if not told.lives[0].going(each.at_s)]
    assert 0.3 < sum(still) / len(still) < 0.7


def test_a_wrong_clock_moves_the_stamps_and_not_the_messages() -> None:
    right, wrong = (
        scene("k", BEGIN_S, BEGIN_S + 3600, watches=1, faults=Faults(skew_s=skew_s)) for skew_s in (0.0, 90.0)
    )
    sensor = as_set_up(right.rests[0].fields)
    moved = [
        other.at_s - each.at_s
        for each, other in zip(
            readings(tuple(right.events()), sensor), readings(tuple(wrong.events()), sensor), strict=True
        )
    ]
    assert max(moved) - min(moved) < 0.01
    assert 1 < abs(moved[0]) <= 90


def test_the_reserve_falls_as_it_is_asked_to() -> None:
    year_s = 365 * DAY_S
    told = scene("d", BEGIN_S, BEGIN_S + year_s, watches=1, faults=Faults(), lost_a_year=0.2)
    whole = [run for run in told.lives[0].runs if run.stopped]
    first, last = ([run.until_s - run.wound_s for run in part] for part in (whole[:30], whole[-30:]))
    assert sum(last) / sum(first) == pytest.approx(0.8**0.8, abs=0.03)


def test_the_truth_is_plain_and_holds_every_set_up_and_every_stop() -> None:
    told = truth(played())
    assert json.loads(json.dumps(told)) == told
    assert len(told["sensors"]) == 13
    assert all(as_set_up(fields).expected_s == 60 for fields in told["sensors"])
    assert sum(run["stopped"] for watch in told["watches"] for run in watch["runs"]) > 15
