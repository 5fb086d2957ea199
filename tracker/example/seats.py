"""The example's sensors, simulated: the lamp room's watch lies on one, and a winder box tells the turns of three seats."""

import heapq
from bisect import bisect_right
from collections.abc import Iterator
from datetime import datetime, timedelta

from sensors.arrivals import Arrivals
from sensors.intake import Message, sort_out
from sensors.keeper import Keeper
from sensors.simulated import channel
from sensors.simulated.channel import Channel
from sensors.simulated.events import Event, Faults, events
from sensors.simulated.life import Make
from sensors.simulated.seat import Seat
from sensors.topics import Routes
from tracker.collection import owner, preferences
from tracker.commands.base import Command
from tracker.commands.door import Then, submit
from tracker.commands.log import LogService, LogWear
from tracker.commands.sensor import AddSensor, LayOnSensor, TakeOffSensor
from tracker.example.cast import ALMANAC, EBB_TIDE, FLOOD_TIDE, LAMP_ROOM
from tracker.example.days import dice
from tracker.example.fill import lives, watch_uid
from tracker.example.life import Lived
from tracker.store import register
from tracker.store import sensors as shelf
from tracker.store.sensed.migrations import open_sensed
from tracker.store.store import Store
from tracker.uids import uid_of

PAST = timedelta(days=20)
AHEAD = timedelta(days=30)
STANDS_STILL = timedelta(hours=27)
"""So long ago the left seat of the box failed."""
REST_EVERY_S, SEAT_EVERY_S = 120.0, 300.0
WRONG = Faults(lost=0.02, doubled=0.02, late=0.01, late_s=600.0)
LEFT, MIDDLE, RIGHT = "Winder box, left", "Winder box, middle", "Winder box, right"
REST = "Lamp room shelf"
BATCH = 5000


def fill_sensors(store: Store, now: datetime, *, then: Then) -> None:
    """Set up the sensors of an example just filled, with the past they told; not where the example's watches are not."""
    if register.watch(store.reading(), watch_uid(LAMP_ROOM.fields.nickname)) is None or shelf.sensors(store.reading()):
        return
    told = lives(now, preferences(store).zone)
    submit(store, commands(told, now), owner(store, "example", now), then=then)
    fill_past(store, told, now)


def channels(told: dict[str, Lived], now: datetime) -> list[Channel]:
    """The four sensors as they are from `PAST` before now on."""
    begin_s = (now - PAST).timestamp()
    lamp = LAMP_ROOM.fields
    make = Make(lamp.nickname, LAMP_ROOM.spring.reserve_h, vph=float(lamp.vibrations_per_hour or 0))
    spells = [(start.timestamp(), end.timestamp()) for start, end in told[lamp.nickname].spells]
    starts = [start for start, _ in spells]

    def ticks(at_s: float) -> Make | None:
        place = bisect_right(starts, at_s)
        return make if place and at_s < spells[place - 1][1] else None

    failed_s = (now - STANDS_STILL).timestamp()
    return [
        channel.level(REST, "station/lamp-room", REST_EVERY_S, "json", ticks=ticks, neighbours=0.0),
        channel.counter("station/box/left", SEAT_EVERY_S, Seat(LEFT, begin_s, fails_s=failed_s)),
        channel.increments("station/box/middle", SEAT_EVERY_S, Seat(MIDDLE, begin_s + 700.0)),
        channel.power("station/box/right", SEAT_EVERY_S, Seat(RIGHT, begin_s + 1900.0, ways="clockwise")),
    ]


def commands(told: dict[str, Lived], now: datetime) -> list[Command]:
    """The sensors set up, and the watches laid on them when they were."""
    begin = (now - PAST).replace(microsecond=0)
    added = [AddSensor(uid=sensor_uid(each.name), **each.fields) for each in channels(told, now)]
    return [
        *added,
        _laid(REST, LAMP_ROOM.fields.nickname, begin),
        _laid(LEFT, ALMANAC.fields.nickname, begin),
        _laid(MIDDLE, EBB_TIDE.fields.nickname, _back_from_service(told[EBB_TIDE.fields.nickname], begin)),
        *_between_wears(told[FLOOD_TIDE.fields.nickname], begin),
    ]


def sensor_uid(name: str) -> str:
    """The uid of a sensor of the example: the same in every example collection."""
    return uid_of("example sensor", name)


def _laid(sensor: str, nickname: str, at: datetime) -> LayOnSensor:
    uid = uid_of("example laid", sensor, at.isoformat())
    return LayOnSensor(uid=uid, sensor_uid=sensor_uid(sensor), watch_uid=watch_uid(nickname), at=at)


def _back_from_service(life: Lived, begin: datetime) -> datetime:
    return max(
        (entry.at + timedelta(minutes=5) for entry in life.entries if isinstance(entry, LogService)), default=begin
    )


def _between_wears(life: Lived, begin: datetime) -> Iterator[Command]:
    """On its seat whenever it is not worn."""
    sits = False
    worn = [entry for entry in life.entries if isinstance(entry, LogWear) and entry.at > begin]
    if not worn or worn[0].act == "put on":
        yield _laid(RIGHT, FLOOD_TIDE.fields.nickname, begin)
        sits = True
    for entry in worn:
        if entry.act == "put on" and sits:
            yield TakeOffSensor(uid=uid_of("example taken", entry.uid), sensor_uid=sensor_uid(RIGHT), at=entry.at)
        elif entry.act == "laid down":
            yield _laid(RIGHT, FLOOD_TIDE.fields.nickname, entry.at)
        sits = entry.act == "laid down"


def messages(told: dict[str, Lived], filled: datetime, begin: datetime, end: datetime) -> Iterator[Event]:
    """What the sensors send from one moment to another; `filled` is the moment for which the lives were lived."""
    streams = [
        events(each, WRONG, dice("messages", each.name, begin.isoformat()), begin.timestamp(), end.timestamp())
        for each in channels(told, filled)
    ]
    return heapq.merge(*streams)


def fill_past(store: Store, told: dict[str, Lived], now: datetime) -> None:
    """Keep what the sensors sent of the past, as if it had been heard then."""
    sensors = shelf.sensors(store.reading())
    file = open_sensed(store.path.parent)
    keeper, routes, arrivals = Keeper(file), Routes(sensors), Arrivals()
    keeper.set_up(sensors, shelf.assignments(store.reading()))
    batch: list[Message] = []
    for event in messages(told, now, now - PAST, now):
        if event.due_s <= now.timestamp():
            batch.append(Message(event.topic, event.payload, event.due_s))
        if len(batch) == BATCH:
            keeper.keep(sort_out(batch, routes, arrivals))
            batch = []
    keeper.keep(sort_out(batch, routes, arrivals))
    file.close()
