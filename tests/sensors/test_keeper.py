import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sensors.intake import Message
from sensors.keeper import Keeper
from sensors.kinds import Boolean, Level
from sensors.payload import Form
from sensors.rest import Setup, Span, Stop
from sensors.sensor import Assignment, Sensor
from sensors.turns import Hour
from sensors.winder import Turning
from tests.sensors.sensing import EVER, counter, folded, messages, payload, rest_sensor, sorted_out, told
from tests.sensors.test_follow import DAY_S, Readings, as_they_come, weeks
from tracker.errors import Unavailable
from tracker.store.sensed import reading
from tracker.store.sensed.migrations import open_sensed
from tracker.store.sensed.reading import Raw
from tracker.store.store import Store

SHELF = rest_sensor()


@pytest.fixture(autouse=True)
def no_waiting_for_the_disk(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tracker.store.store.BUSY_MS", 20)


@pytest.fixture
def sensed(tmp_path: Path) -> Iterator[Store]:
    opened = open_sensed(tmp_path)
    yield opened
    opened.close()


def keeper_of(store: Store, *sensors: Sensor, assignments: tuple[Assignment, ...] = ()) -> Keeper:
    keeper = Keeper(store)
    keeper.set_up(sensors or (SHELF,), assignments)
    return keeper


def give(keeper: Keeper, readings: Readings, sensor: Sensor = SHELF, arrived_s: float | None = None) -> None:
    keeper.keep(sorted_out(messages(readings, sensor, arrived_s), sensor))


SETUP = Setup(Boolean(), 60.0)
READING = st.tuples(st.integers(1, 60).map(lambda at: 30.0 * at), st.sampled_from([0.0, 1.0]))


@settings(max_examples=40, deadline=None, derandomize=True)
@given(
    st.lists(READING, min_size=1, max_size=80),
    st.randoms(use_true_random=False),
    st.integers(1, 30),
    st.sampled_from([1, 10**9]),
)
def test_any_order_any_doubles_any_batches_and_restarts_give_the_same_rows(
    readings: Readings, chance: Random, size: int, restarted_every: int
) -> None:
    arrivals = readings + readings[::2]
    chance.shuffle(arrivals)
    with TemporaryDirectory() as folder:
        store = open_sensed(Path(folder))
        keeper = keeper_of(store)
        for count, place in enumerate(range(0, len(arrivals), size)):
            give(keeper, arrivals[place : place + size], arrived_s=1800.0)
            if count % restarted_every == 0:
                keeper = keeper_of(store)
        assert told(store) == folded(readings, SETUP)
        store.close()


@pytest.mark.parametrize("restarted_every", [10**9, 3])
def test_days_of_readings_late_and_doubled_give_the_rows_of_the_readings_in_order(
    sensed: Store, restarted_every: int
) -> None:
    readings = [(at_s, value) for at_s, value in weeks(1, days=9)]
    chance = Random(3)
    arrivals = as_they_come(readings, chance)
    keeper = keeper_of(sensed)
    for count, place in enumerate(range(0, len(arrivals), 400)):
        if count % restarted_every == 0:
            keeper = keeper_of(sensed)
        batch = arrivals[place : place + 400]
        give(keeper, batch, arrived_s=max(at_s for at_s, _ in batch))
    assert told(sensed) == folded(readings, SETUP)
    assert len(told(sensed).stops) > 10


def test_a_batch_that_could_not_be_written_is_given_again_and_nothing_is_lost_or_doubled(sensed: Store) -> None:
    readings = weeks(2, days=3)
    keeper = keeper_of(sensed)
    with closing(sqlite3.connect(sensed.path, isolation_level=None)) as other:
        for place in range(0, len(readings), 300):
            batch = sorted_out(messages(readings[place : place + 300], SHELF), SHELF)
            other.execute("BEGIN IMMEDIATE")
            with pytest.raises(Unavailable):
                keeper.keep(batch)
            other.execute("ROLLBACK")
            keeper.keep(batch)
    assert told(sensed) == folded(readings, SETUP)
    heard = reading.heard(sensed.reading())["shelf"]
    assert (heard.readings, heard.rejected, heard.newest_s) == (len(readings), 0, readings[-1][0])


def test_the_counter_rises_when_something_is_found_and_not_with_each_reading(sensed: Store) -> None:
    keeper = keeper_of(sensed)
    going = [(60.0 * minute, 1.0) for minute in range(1, 60)]
    give(keeper, going[:5])
    begun = counter(sensed)
    assert begun > 0
    give(keeper, going[5:])
    keeper_of(sensed)
    assert counter(sensed) == begun
    assert told(sensed).spans == [Span("going", 60, 59 * 60, "open")]
    give(keeper, [(60.0 * minute, 0.0) for minute in range(60, 64)])
    assert counter(sensed) == begun + 1
    assert told(sensed).stops == [Stop(59 * 60, 60 * 60)]


def test_a_restart_alone_changes_nothing(sensed: Store) -> None:
    readings = weeks(4, days=4)
    give(keeper_of(sensed), readings)
    before = told(sensed), counter(sensed)
    give(keeper_of(sensed), readings[-3:])
    assert (told(sensed), counter(sensed)) == before


def test_a_reading_later_than_a_day_behind_the_newest_is_rejected_and_its_message_shown(sensed: Store) -> None:
    keeper = keeper_of(sensed)
    give(keeper, [(3 * DAY_S, 1.0)])
    late = (2 * DAY_S - 60.0, 0.0)
    give(keeper, [late], arrived_s=2.5 * DAY_S)
    (rejected,) = reading.rejected(sensed.reading())
    assert (rejected.sensor_uid, rejected.payload) == ("shelf", payload(*late))
    assert rejected.reason.sentence == "The reading of 1970-01-02T23:59:00Z came more than 24 hours after a newer one."
    assert told(sensed).readings == [(3 * DAY_S, 1.0)]


def test_a_double_of_a_reading_we_have_is_no_rejection_however_late(sensed: Store) -> None:
    keeper = keeper_of(sensed)
    give(keeper, [(DAY_S, 1.0)])
    give(keeper, [(3 * DAY_S, 1.0)])
    give(keeper, [(DAY_S, 1.0)], arrived_s=1.5 * DAY_S)
    assert reading.rejected(sensed.reading()) == []
    assert len(told(sensed).readings) == 2


def test_unlike_readings_of_one_stamp_are_told_and_neither_counts(sensed: Store) -> None:
    keeper = keeper_of(sensed)
    give(keeper, [(60.0 * minute, 1.0) for minute in range(1, 10)] + [(300.0, 0.0)])
    assert told(sensed).unlike == [300.0]
    assert told(sensed).spans == [Span("going", 60, 540, "open")]


def test_only_the_last_thousand_rejected_messages_are_kept(sensed: Store) -> None:
    keeper = keeper_of(sensed)
    bad = [Message("watch/shelf", f"{number}".encode(), number) for number in range(1300)]
    for place in range(0, 1300, 130):
        keeper.keep(sorted_out([*bad[place : place + 130], Message("else", b"", place)], SHELF))
    rejected = reading.rejected(sensed.reading())
    assert len(rejected) == 1000
    assert rejected[1].payload == b"1299"
    assert (rejected[0].sensor_uid, rejected[0].topic, rejected[0].reason.why) == (None, "else", "no sensor")
    assert reading.heard(sensed.reading())["shelf"].rejected == 1300


def test_topics_are_counted_with_their_last_message(sensed: Store) -> None:
    keeper = keeper_of(sensed)
    for _ in range(2):
        keeper.keep(sorted_out([Message("watch/shelf", b"x" * 300, 1.0), Message("b", b"2", 2.0)], SHELF))
    b, shelf = reading.topics(sensed.reading())
    assert (b.topic, b.messages, b.payload, b.known) == ("b", 2, b"2", False)
    assert (shelf.topic, shelf.messages, shelf.payload, shelf.known) == ("watch/shelf", 2, b"x" * 256, True)


def laid(from_s: float, to_s: float | None = None) -> Assignment:
    return Assignment(uid=f"laid {from_s}", sensor_uid="shelf", watch_uid="anna", from_s=from_s, to_s=to_s)


MINUTES = [(60.0 * minute, 1.0) for minute in range(1, 60)]
STILL = [(60.0 * minute, 0.0) for minute in range(60, 90)]


def test_what_is_told_of_one_watch_is_never_carried_on_to_the_next(sensed: Store) -> None:
    keeper = keeper_of(sensed, assignments=(laid(0, 3570), laid(3570)))
    give(keeper, MINUTES + STILL)
    assert told(sensed).spans == [Span("going", 60, 59 * 60, "unknown"), Span("stopped", 3600, 89 * 60, "open")]
    assert told(sensed).stops == []


@pytest.mark.parametrize("days_later", [0, 3])
def test_a_seat_handed_over_before_it_was_said_is_worked_out_anew_at_once(sensed: Store, days_later: int) -> None:
    keeper = keeper_of(sensed, assignments=(laid(0),))
    give(keeper, MINUTES + STILL)
    give(keeper, [(days_later * DAY_S + 7200.0 + 60 * minute, 0.0) for minute in range(200)])
    assert len(told(sensed).stops) == 1
    before = counter(sensed)
    keeper.set_up([SHELF], [laid(0, 3570), laid(3570)])
    assert told(sensed).stops == []
    assert counter(sensed) > before
    assert told(sensed).spans[0] == Span("going", 60, 59 * 60, "unknown")


def level(upper: float, lower: float) -> Sensor:
    form = Form("json", "number", ("going",), ("t",))
    return replace(SHELF, form=form, reports=Level(upper, lower))


def give_ones(keeper: Keeper, sensor: Sensor) -> None:
    said = b'{"going": 1, "t": %d}'
    keeper.keep(sorted_out([Message(sensor.topic, said % (60 * n), 60.0 * n) for n in range(1, 9)], sensor))


def test_thresholds_learned_anew_are_applied_to_the_last_day_at_once(sensed: Store) -> None:
    keeper = keeper_of(sensed, level(5, 4))
    give_ones(keeper, level(5, 4))
    assert [span.state for span in told(sensed).spans] == ["stopped"]
    keeper.set_up([level(0.5, 0.4)], [])
    assert [span.state for span in told(sensed).spans] == ["going"]


def test_values_that_meant_something_else_are_never_read_by_the_new_set_up(sensed: Store) -> None:
    keeper = keeper_of(sensed, level(5, 4))
    give_ones(keeper, level(5, 4))
    keeper.set_up([SHELF], [])
    assert told(sensed).spans == [Span("stopped", 60, 480, "unknown")]
    give(keeper, [(480.0 + 60 * minute, 1.0) for minute in range(1, 9)])
    assert told(sensed).spans[1:] == [Span("going", 540, 960, "open")]
    assert told(sensed).stops == []


def test_old_readings_go_and_spans_and_stops_stay(sensed: Store) -> None:
    readings = weeks(5, days=6)
    keeper = keeper_of(sensed)
    for place in range(0, len(readings), 500):
        give(keeper, readings[place : place + 500])
    before = told(sensed)
    keeper.forget(4 * DAY_S)
    after = told(sensed)
    assert (after.spans, after.stops) == (before.spans, before.stops)
    assert after.readings == [each for each in before.readings if each[0] >= 4 * DAY_S]
    keeper.forget(100 * DAY_S)
    give(keeper_of(sensed), readings[-2:])
    assert told(sensed)[1:] == before[1:]


def test_a_winder_channels_hours_are_kept(sensed: Store) -> None:
    box = Sensor(
        uid="box", name="box", kind="winder", topic="box", form=Form("json", "boolean", ("going",), ("t",)),
        reports=Turning(2.0, "clockwise"), expected_s=60,
    )  # fmt: skip
    keeper = keeper_of(sensed, box)
    readings = [(60.0 * minute, float(minute % 10 < 5)) for minute in range(301)]
    for place in range(0, 301, 20):
        keeper.keep(sorted_out([Message("box", payload(*each), each[0]) for each in readings[place : place + 20]], box))
        if place == 100:
            keeper = keeper_of(sensed, box)
    hours = reading.turns(sensed.reading(), "box", *EVER)
    assert hours == [Hour(hour, clockwise=60.0, heard_s=3600.0) for hour in range(5)]


def test_retained_messages_and_those_that_waited_unstamped_give_no_reading(sensed: Store) -> None:
    plain = rest_sensor(form=Form("plain", "boolean"))
    keeper = keeper_of(sensed, plain)
    came = [
        Message("watch/shelf", b"on", 10.0, retained=True),
        Message("watch/shelf", b"on", 60.0),
        Message("watch/shelf", b"off", 600.0),
        Message("watch/shelf", b"off", 600.1),
    ]
    keeper.keep(sorted_out(came, plain))
    assert reading.readings(sensed.reading(), "shelf", *EVER) == [
        Raw(60.0, 1.0, stamped=False),
        Raw(600.0, 0.0, stamped=False),
    ]
    heard = reading.heard(sensed.reading())["shelf"]
    assert (heard.readings, heard.queued, heard.retained) == (2, 1, False)


def work(store: Store, keeper: Keeper, readings: Readings, sensor: Sensor) -> int:
    """The steps SQLite takes to keep these one by one: each row that it reads costs some, each statement a few."""
    steps = 0

    def step() -> int:
        nonlocal steps
        steps += 1
        return 0

    conn = store.reading().conn
    conn.set_progress_handler(step, 1)
    for each in readings:
        give(keeper, [each], sensor)
    conn.set_progress_handler(None, 1)
    return steps


def test_a_reading_costs_the_same_after_three_days_and_after_two_hundred(sensed: Store) -> None:
    """No row of the past is read again: neither for one reading more nor to take a sensor up after a restart."""
    sensor = rest_sensor(expected_s=600.0)
    keeper = keeper_of(sensed, sensor)
    # A stop every ten hours, so that there are as many spans in hand at any time.
    readings = [(600.0 * place, float(place % 60 < 40)) for place in range(200 * 144)]
    young, old = 3 * 144, len(readings) - 60
    give(keeper, readings[:young], sensor)
    first = work(sensed, keeper, readings[young : young + 60], sensor)
    first_anew = work(sensed, keeper_of(sensed, sensor), readings[young + 59 : young + 60], sensor)
    for place in range(young + 60, old, 144):
        give(keeper, readings[place : min(old, place + 144)], sensor)
    last = work(sensed, keeper, readings[old:], sensor)
    last_anew = work(sensed, keeper_of(sensed, sensor), readings[-1:], sensor)
    assert len(told(sensed).spans) > 900
    assert last <= 1.1 * first
    # A mark is set every so many readings only: up to so many more than a day's are taken up.
    assert last_anew <= 1.5 * first_anew
