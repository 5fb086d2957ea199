"""Turns that a winder's sensor told, as acts; the store and its seat are those of the winder's own tests."""

from tests.test_winders import HOUR, NOW, SEAT, WATCH, describe, store, turn  # noqa: F401 -- store is a fixture
from tracker import turnsmade
from tracker.collection import owner
from tracker.commands.build import build
from tracker.commands.door import submit
from tracker.commands.log import LogWind
from tracker.commands.sensor import TakeOffSensor
from tracker.derive import catch_up
from tracker.figures import Figures, look
from tracker.store import register
from tracker.store.store import Store
from tracker.uids import uid_of


def made(store: Store) -> list[float | None]:  # noqa: F811 -- the fixture's value
    db = store.reading()
    return [act.low for act in turnsmade.acts(db, register.watches(db), NOW)[WATCH]]


def test_turns_are_told_by_the_day_and_unknown_days_as_unknown(store: Store) -> None:  # noqa: F811
    turn(store, *[30.0] * 48, *[0.0] * 72)
    assert made(store) == [None] * 16 + [720.0, 720.0, 0.0, 0.0, 0.0]


def test_only_turns_in_the_way_that_winds_count(store: Store) -> None:  # noqa: F811
    turn(store, *[30.0] * 120)
    describe(store, winder_way="clockwise")
    assert made(store)[-1] == 720.0  # of which way nobody knows: all of them may wind it


def wound_in_full(store: Store) -> Figures:  # noqa: F811
    wind = {"watch_uid": WATCH, "at": (NOW - 119 * HOUR).isoformat(), "zone": "UTC", "found": "going"}
    submit(store, [build(LogWind, wind)], owner(store, "example", NOW))
    catch_up(store, NOW)
    found = look(store, WATCH, NOW)
    assert isinstance(found, Figures)
    return found


def test_a_seat_that_turns_enough_keeps_its_watch_out_of_the_plan(store: Store) -> None:  # noqa: F811
    turn(store, *[42.0] * 120)
    found = wound_in_full(store)
    assert found.history.on_winder
    assert found.kept_wound
    assert found.standing.wind_by is None
    assert found.standing.word != "stopped"


def test_a_seat_that_stands_still_gives_it_a_wind_by(store: Store) -> None:  # noqa: F811
    turn(store, *[42.0] * 110, *[0.0] * 10)
    found = wound_in_full(store)
    assert not found.kept_wound
    assert found.standing.wind_by is not None


def test_taken_off_its_hours_count_from_there(store: Store) -> None:  # noqa: F811
    turn(store, *[42.0] * 120)
    off = {"uid": uid_of("off"), "sensor_uid": SEAT, "at": (NOW - 5 * HOUR).isoformat()}
    submit(store, [build(TakeOffSensor, off)], owner(store, "example", NOW))
    found = wound_in_full(store)
    assert not found.history.on_winder
    assert found.run is not None
    assert found.run.started_at == NOW - 5 * HOUR
    assert found.wound is not None
    assert found.wound.share.low > 0.8
