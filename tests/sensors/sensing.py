"""A rest sensor as it is set up in tests, its messages, and what a file holds of it."""

import json
from collections.abc import Iterable
from pathlib import Path
from typing import NamedTuple

from sensors.arrivals import Arrivals
from sensors.intake import Batch, Message, sort_out
from sensors.kinds import Boolean
from sensors.payload import Form
from sensors.rest import Setup, Span, Stop, Unlike, fold, tail
from sensors.sensor import Sensor
from sensors.topics import Routes
from tracker.store.sensed import reading
from tracker.store.store import Store

EVER = (-1e12, 1e12)
STAMPED = Form("json", "boolean", ("going",), ("t",))


def rest_sensor(uid: str = "shelf", *, form: Form = STAMPED, expected_s: float = 60.0, topic: str = "") -> Sensor:
    return Sensor(
        uid=uid,
        name=uid,
        kind="rest",
        topic=topic or f"watch/{uid}",
        form=form,
        reports=Boolean(),
        expected_s=expected_s,
    )


def payload(at_s: float, value: float) -> bytes:
    return json.dumps({"going": bool(value), "t": at_s}).encode()


def messages(readings: Iterable[tuple[float, float]], sensor: Sensor, arrived_s: float | None = None) -> list[Message]:
    """Each as it would come at once, or all at one moment."""
    return [
        Message(sensor.topic, payload(at_s, value), at_s if arrived_s is None else arrived_s)
        for at_s, value in readings
    ]


def sorted_out(came: Iterable[Message], *sensors: Sensor) -> Batch:
    return sort_out(came, Routes(sensors), Arrivals())


class Told(NamedTuple):
    """What the file tells of a sensor."""

    readings: list[tuple[float, float]]
    spans: list[Span]
    stops: list[Stop]
    unlike: list[float]


def told(store: Store, uid: str = "shelf") -> Told:
    db = store.reading()
    return Told(
        [(raw.at_s, raw.value) for raw in reading.readings(db, uid, *EVER)],
        reading.spans(db, uid, *EVER),
        reading.stops(db, uid, *EVER),
        reading.unlike(db, uid, *EVER),
    )


def folded(readings: Iterable[tuple[float, float]], setup: Setup) -> Told:
    """What the state machine makes of the readings in order."""
    in_order = sorted(set(readings))
    course, found = fold(setup, in_order)
    open_span = tail(setup, course, course.heard_s or 0.0)
    spans = [each for each in found if isinstance(each, Span)] + ([open_span] if open_span else [])
    stops = [each for each in found if isinstance(each, Stop)]
    return Told(in_order, spans, stops, [each.at_s for each in found if isinstance(each, Unlike)])


def counter(store: Store, uid: str = "shelf") -> int:
    return reading.counter(store.reading(), uid)


def size(path: Path) -> int:
    return sum(file.stat().st_size for file in path.parent.glob(f"{path.name}*"))
