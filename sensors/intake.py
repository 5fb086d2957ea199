"""A batch of messages, sorted out: readings by sensor, what tells nothing and why, what was heard of each topic."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import NamedTuple

from sensors.arrivals import Arrivals
from sensors.payload import Reading, read
from sensors.sensor import Sensor
from sensors.stamp import named
from sensors.topics import Routes
from sensors.unread import Unread
from tracker.store.sensed.reading import Rejection, Topic

SHOWN_BYTES = 256
"""So much of a message is kept to be shown."""


class Message(NamedTuple):
    """A message as it came: arrival in seconds since 1970; `retained` if the broker had kept it as the last known."""

    topic: str
    payload: bytes
    arrived_s: float
    retained: bool = False


@dataclass(slots=True)
class FromSensor:
    """What a batch brings of one sensor: its last message, its readings each with its message, how many messages had waited somewhere."""

    sensor: Sensor
    last: Message
    readings: list[tuple[Reading, Message]] = field(default_factory=list)
    rejected: int = 0
    queued: int = 0


@dataclass(slots=True)
class Batch:
    """What messages bring, sorted out once; to be written as a whole."""

    messages: int = 0
    arrived_s: float = 0.0
    sensors: dict[str, FromSensor] = field(default_factory=dict)
    rejected: list[Rejection] = field(default_factory=list)
    topics: dict[str, Topic] = field(default_factory=dict)


def sort_out(messages: Iterable[Message], routes: Routes, arrivals: Arrivals) -> Batch:
    """Sort out messages in the order of their arrival.

    A retained message says what was last known, not what is now: it gives no reading. One without a stamp that had
    waited somewhere gives none either: its time is not known.
    """
    batch = Batch()
    counts: Counter[str] = Counter()
    last: dict[str, Message] = {}
    for message in messages:
        counts[message.topic] += 1
        last[message.topic] = message
        sensors = routes.of(message.topic)
        for sensor in sensors:
            _of_sensor(batch, sensor, message, arrivals)
        if not sensors:
            batch.rejected.append(_rejection(None, message, Unread("no sensor")))
        batch.messages += 1
        batch.arrived_s = message.arrived_s
    batch.topics = {topic: _topic(last[topic], count, routes) for topic, count in counts.items()}
    return batch


def _topic(last: Message, count: int, routes: Routes) -> Topic:
    return Topic(last.topic, count, last.arrived_s, last.payload[:SHOWN_BYTES], known=bool(routes.of(last.topic)))


def _of_sensor(batch: Batch, sensor: Sensor, message: Message, arrivals: Arrivals) -> None:
    heard = batch.sensors.get(sensor.uid)
    if heard is None:
        heard = batch.sensors[sensor.uid] = FromSensor(sensor, message)
    heard.last = message
    if message.retained:
        return
    queued = arrivals.queued(sensor.uid, sensor.expected_s, message.arrived_s)
    for reading in read(message.payload, sensor.form, message.arrived_s):
        if isinstance(reading, Unread):
            heard.rejected += 1
            batch.rejected.append(_rejection(sensor.uid, message, reading))
        elif queued and not reading.stamped:
            heard.queued += 1
        else:
            heard.readings.append((reading, message))


def _rejection(sensor_uid: str | None, message: Message, reason: Unread) -> Rejection:
    return Rejection(sensor_uid, message.arrived_s, message.topic, reason, message.payload[:SHOWN_BYTES])


def refused(sensor: Sensor, message: Message, reading: Reading) -> Rejection:
    """The rejection of a reading that came later than 24 h behind the sensor's newest."""
    return _rejection(sensor.uid, message, Unread("too late", named(reading.at_s)))
