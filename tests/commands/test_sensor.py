"""Sensors set up, and watches laid on them."""

from collections.abc import Callable
from datetime import datetime

import pytest

from sensors.counter import Counter
from sensors.kinds import Beats, Level
from sensors.payload import STOPPED_WORDS
from tracker.commands.base import Who
from tracker.commands.door import submit
from tracker.commands.undo import Undo
from tracker.errors import Conflict
from tracker.store import sensors
from tracker.store.store import Store

Give = Callable[..., str]
AT = "2026-11-24T07:00Z"
LATER = "2026-11-24T19:00Z"


def s(text: str) -> float:
    return datetime.fromisoformat(text).timestamp()


@pytest.fixture
def tray(give: Give) -> str:
    return give("AddSensor", name="tray", topic="house/tray", expected_s="60")


@pytest.fixture
def anna(give: Give) -> str:
    return give("RegisterWatch", nickname="Anna", vibrations_per_hour=18_000)


def stays(store: Store, **of: str) -> list[tuple[str, str, float, float | None]]:
    return [
        (each.sensor_uid, each.watch_uid, each.from_s, each.to_s) for each in sensors.assignments(store.reading(), **of)
    ]


def test_a_set_up_is_read_back_with_the_usual_words_where_none_are_given(store: Store, give: Give) -> None:
    give(
        "AddSensor", name="box", topic="box/1", expected_s="300", written="json", value_at="/s/tick", time_at="/t",
        going_words=" ja ,oui", reports="level", upper="0,5", lower="0.1",
    )  # fmt: skip
    (found,) = sensors.sensors(store.reading())
    assert (found.form.value_at, found.form.time_at, found.form.gives) == (("s", "tick"), ("t",), "number")
    assert (found.form.going_words, found.form.stopped_words) == (("ja", "oui"), STOPPED_WORDS)
    assert found.reports == Level(0.5, 0.1)


def test_a_pointer_to_the_whole_message_is_no_pointer_to_nothing(store: Store, give: Give) -> None:
    give("AddSensor", name="box", topic="box/1", expected_s="300", written="json", time_at=" ")
    (found,) = sensors.sensors(store.reading())
    assert (found.form.value_at, found.form.time_at) == ((), None)


def test_a_winder_channel_keeps_how_it_counts(store: Store, give: Give) -> None:
    give(
        "AddSensor", name="seat", kind="winder", topic="box/1", expected_s="300", reports="counter",
        wraps_at="65536", direction="sign", restarts_at_zero="yes",
    )  # fmt: skip
    (found,) = sensors.sensors(store.reading())
    assert found.reports == Counter("sign", 1.0, 65_536.0, restarts_at_zero=True)


def test_beats_are_those_of_the_watch_that_lies_there(store: Store, give: Give, anna: str) -> None:
    uid = give("AddSensor", name="ear", topic="ear", expected_s="60", reports="beats", window_s="10")
    give("LayOnSensor", sensor_uid=uid, watch_uid=anna, at=AT)
    (found,) = sensors.sensors(store.reading())
    assert found.reports == Beats(18_000, 0.05, 10)
    give(
        "EditSensor",
        sensor_uid=uid,
        name="ear",
        topic="ear",
        expected_s="60",
        reports="beats",
        vibrations_per_hour=28_800,
    )
    assert sensors.sensors(store.reading())[0].reports == Beats(28_800, 0.05, 10)


def test_what_lay_there_before_ends_where_the_next_begins(store: Store, give: Give, tray: str, anna: str) -> None:
    berta = give("RegisterWatch", nickname="Berta")
    give("LayOnSensor", sensor_uid=tray, watch_uid=anna, at=AT)
    give("LayOnSensor", sensor_uid=tray, watch_uid=berta, at=LATER)
    assert stays(store, sensor_uid=tray) == [(tray, anna, s(AT), s(LATER)), (tray, berta, s(LATER), None)]


def test_a_watch_lies_on_one_tray_at_a_time_but_a_winder_is_another_matter(
    store: Store, give: Give, tray: str, anna: str
) -> None:
    other = give("AddSensor", name="other", topic="x", expected_s="60")
    seat = give("AddSensor", name="seat", kind="winder", topic="y", expected_s="60", reports="increments")
    give("LayOnSensor", sensor_uid=tray, watch_uid=anna, at=AT)
    give("LayOnSensor", sensor_uid=seat, watch_uid=anna, at=AT)
    give("LayOnSensor", sensor_uid=other, watch_uid=anna, at=LATER)
    assert {(sensor, to) for sensor, _, _, to in stays(store, watch_uid=anna)} == {
        (tray, s(LATER)), (seat, None), (other, None),
    }  # fmt: skip


def test_taken_off_it_lies_nowhere(store: Store, give: Give, tray: str, anna: str) -> None:
    give("LayOnSensor", sensor_uid=tray, watch_uid=anna, at=AT)
    give("TakeOffSensor", sensor_uid=tray, at=LATER)
    assert stays(store) == [(tray, anna, s(AT), s(LATER))]


def test_a_sensor_put_away_lets_go_of_its_watch_and_is_listened_to_no_longer(
    store: Store, give: Give, tray: str, anna: str, now: datetime
) -> None:
    give("LayOnSensor", sensor_uid=tray, watch_uid=anna, at=AT)
    give("ArchiveSensor", sensor_uid=tray)
    assert sensors.sensors(store.reading()) == []
    assert [each.uid for each in sensors.sensors(store.reading(), archived=True)] == [tray]
    assert stays(store) == [(tray, anna, s(AT), now.timestamp())]


def test_every_change_raises_the_count_by_which_it_is_noticed(
    store: Store, who: Who, give: Give, tray: str, anna: str
) -> None:
    counts = [sensors.changes(store.reading())]
    for change in (
        lambda: give("LayOnSensor", sensor_uid=tray, watch_uid=anna, at=AT),
        lambda: give("TakeOffSensor", sensor_uid=tray, at=LATER),
        lambda: submit(store, [Undo()], who),
        lambda: submit(store, [Undo()], who),
        lambda: give("EditWatch", watch_uid=anna, nickname="Anna", vibrations_per_hour=21_600),
        lambda: give("ArchiveSensor", sensor_uid=tray),
    ):
        change()
        counts.append(sensors.changes(store.reading()))
    assert counts == sorted({*counts})


@pytest.mark.parametrize("topic", ["#", "+/+", "a/+/b", "a/#", "/", "a b/ä"])
def test_topic_filters_are_those_of_the_standard(store: Store, give: Give, topic: str) -> None:
    # MQTT 5.0, 4.7.1 (its examples among them).
    give("AddSensor", name="t", topic=topic, expected_s="60")
    assert sensors.sensors(store.reading())[0].topic == topic


def test_worn_meanwhile_it_can_be_said_to_lie_there_again(store: Store, give: Give, tray: str, anna: str) -> None:
    give("LayOnSensor", sensor_uid=tray, watch_uid=anna, at=AT)
    give("LogWear", watch_uid=anna, at="2026-11-24T09:00Z", zone="UTC", act="put on")
    give("LayOnSensor", sensor_uid=tray, watch_uid=anna, at=LATER)
    assert stays(store, watch_uid=anna) == [(tray, anna, s(AT), s(LATER)), (tray, anna, s(LATER), None)]


def test_on_a_winder_meanwhile_it_can_be_said_to_lie_there_again(store: Store, give: Give, tray: str) -> None:
    watch = give("RegisterWatch", nickname="Tide table", wound_by="rotor only")
    give("LayOnSensor", sensor_uid=tray, watch_uid=watch, at=AT)
    give("LogWinder", watch_uid=watch, at="2026-11-24T09:00Z", zone="UTC", act="on")
    give("LayOnSensor", sensor_uid=tray, watch_uid=watch, at=LATER)
    assert stays(store, watch_uid=watch) == [(tray, watch, s(AT), s(LATER)), (tray, watch, s(LATER), None)]


def test_to_undo_a_putting_away_never_lays_a_watch_in_two_places(
    store: Store, who: Who, give: Give, tray: str, anna: str
) -> None:
    other = give("AddSensor", name="other", topic="x", expected_s="60")
    give("LayOnSensor", sensor_uid=tray, watch_uid=anna, at=AT)
    away = give("ArchiveSensor", sensor_uid=tray)
    give("LayOnSensor", sensor_uid=other, watch_uid=anna, at="2026-11-25T07:25Z")
    before = stays(store)
    with pytest.raises(Conflict):
        submit(store, [Undo(batch=away)], who)
    assert stays(store) == before
