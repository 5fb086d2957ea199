"""A simulated sensor: what it hears when it listens, and how it writes that down."""

import json
import math
from collections.abc import Callable
from dataclasses import dataclass
from random import Random
from typing import Any

from sensors.payload import Written
from sensors.simulated.life import BEATS_WINDOW_S, Make
from sensors.simulated.seat import Seat

UPPER, LOWER = 0.5, 0.25
LOUD, QUIET, NEIGHBOURS = 1.0, 0.12, 0.35
"""Levels of a watch that ticks there, of nothing, and of one that ticks beside it; they scatter by a quarter."""
ON_W, OFF_W, ABOVE_W = 2.4, 0.3, 1.2
WRAPS_AT = 10_000.0

Hears = Callable[[float, float, Random], float]
"""The value at a moment, given the moment before at which it listened."""
Fields = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Channel:
    """A sensor with the set-up that fits it, in the words in which sensors are set up.

    `writes` makes a message of a value and the sensor's own time; with way *plain* the time is not in it.
    """

    name: str
    topic: str
    expected_s: float
    fields: Fields
    hears: Hears
    writes: Callable[[float, float], bytes]


def _number(value: float) -> float:
    return round(value, 4)


def written(way: Written, topic: str, gives: str) -> tuple[Fields, Callable[[float, float], bytes]]:
    """How a value is written in one of three ways, and the set-up that reads it."""
    if way == "plain":
        return {"written": "plain"}, lambda value, _: _plain(value, gives)
    if way == "json":
        fields = {"written": "json", "value_at": "/s/tick", "time_at": "/t"}
        return fields, lambda value, at_s: _bytes({"s": {"tick": _value(value, gives)}, "t": round(at_s * 1000)})
    base = f"urn:dev:ops:{topic.replace('/', '-')}:"
    key = "vb" if gives == "boolean" else "v"
    return {"written": "senml", "record": f"{base}tick"}, lambda value, at_s: _bytes(
        [{"bn": base, "bt": round(at_s, 3), "n": "tick", key: _value(value, gives)}]
    )


def _plain(value: float, gives: str) -> bytes:
    if gives == "boolean":
        return b"on" if value else b"off"
    return f"{_number(value):g}".encode()


def _value(value: float, gives: str) -> bool | float:
    return bool(value) if gives == "boolean" else _number(value)


def _bytes(document: object) -> bytes:
    return json.dumps(document, separators=(",", ":")).encode()


Heard = Callable[[float], Make | None]
"""The watch that ticks there at a moment, or None."""


def boolean(name: str, topic: str, expected_s: float, way: Written, *, ticks: Heard, neighbours: float) -> Channel:
    """Going or stopped; a neighbour that is heard is taken for the watch itself."""

    def hears(at_s: float, _before_s: float, chance: Random) -> float:
        return float(ticks(at_s) is not None or chance.random() < neighbours)

    fields, writes = written(way, topic, "boolean")
    return Channel(name, topic, expected_s, _rest(name, topic, expected_s, fields, reports="boolean"), hears, writes)


def level(name: str, topic: str, expected_s: float, way: Written, *, ticks: Heard, neighbours: float) -> Channel:
    """How loud it is; a neighbour lies between the thresholds, mostly."""

    def hears(at_s: float, _before_s: float, chance: Random) -> float:
        beside = NEIGHBOURS if chance.random() < neighbours else QUIET
        return (LOUD if ticks(at_s) is not None else beside) * math.exp(chance.gauss(0.0, 0.25))

    fields, writes = written(way, topic, "number")
    fields = _rest(name, topic, expected_s, fields, reports="level", upper=UPPER, lower=LOWER)
    return Channel(name, topic, expected_s, fields, hears, writes)


def beats(name: str, topic: str, expected_s: float, way: Written, *, ticks: Heard, neighbours: float) -> Channel:
    """Beats within a window; a neighbour beats at another rate."""

    def hears(at_s: float, _before_s: float, chance: Random) -> float:
        tenths = [ticks(at_s - BEATS_WINDOW_S * (tenth + 0.5) / 10.0) for tenth in range(10)]
        count = sum(make.vph for make in tenths if make is not None) * BEATS_WINDOW_S / 36_000.0
        if count == 0.0 and chance.random() < neighbours:
            return 50.0
        return max(0.0, round(count + chance.gauss(0.0, 0.3) * (count > 0.0)))

    fields, writes = written(way, topic, "number")
    fields = _rest(name, topic, expected_s, fields, reports="beats", window_s=BEATS_WINDOW_S, tolerance=0.05)
    return Channel(name, topic, expected_s, fields, hears, writes)


def _rest(name: str, topic: str, expected_s: float, how: Fields, **reports: object) -> Fields:
    return {"name": name, "kind": "rest", "topic": topic, "expected_s": expected_s, **how, **reports}


def _seat(name: str, topic: str, expected_s: float, **how: object) -> Fields:
    return {"name": name, "kind": "winder", "topic": topic, "expected_s": expected_s, **how}


def counter(topic: str, expected_s: float, seat: Seat) -> Channel:
    """A count with a word for the direction beside it; it wraps, and restarts at 0 when power comes back."""

    def writes(value: float, at_s: float) -> bytes:
        way = "left" if math.copysign(1.0, value) < 0 else "right"
        return _bytes({"turns": _number(abs(value)), "way": way, "t": round(at_s * 1000)})

    def hears(at_s: float, _before_s: float, _chance: Random) -> float:
        return math.copysign(seat.counted(at_s) % WRAPS_AT, seat.latest_way(at_s))

    how = {"written": "json", "value_at": "/turns", "time_at": "/t", "direction_at": "/way", "direction": "word"}
    fields = _seat(seat.name, topic, expected_s, reports="counter", wraps_at=WRAPS_AT, restarts_at_zero=True, **how)
    return Channel(seat.name, topic, expected_s, fields, hears, writes)


def increments(topic: str, expected_s: float, seat: Seat) -> Channel:
    """The turns since the message before, anticlockwise ones below 0."""

    def hears(at_s: float, before_s: float, _chance: Random) -> float:
        before, now = seat.turned(before_s), seat.turned(at_s)
        return now.clockwise - before.clockwise - (now.anticlockwise - before.anticlockwise)

    how, writes = written("senml", topic, "number")
    fields = _seat(seat.name, topic, expected_s, reports="increments", direction="sign", **how)
    return Channel(seat.name, topic, expected_s, fields, hears, writes)


def turning(topic: str, expected_s: float, seat: Seat) -> Channel:
    """A word: clockwise, anticlockwise or off."""

    def hears(at_s: float, _before_s: float, _chance: Random) -> float:
        return float(seat.way(at_s))

    words = {1.0: b"clockwise", -1.0: b"anticlockwise", 0.0: b"off"}
    how = {"written": "plain", "direction": "word", "turns_per_min": seat.turns_per_min}
    fields = _seat(seat.name, topic, expected_s, reports="turning", **how)
    return Channel(seat.name, topic, expected_s, fields, hears, lambda value, _: words[value])


def power(topic: str, expected_s: float, seat: Seat) -> Channel:
    """The watts the box draws."""

    def hears(at_s: float, _before_s: float, chance: Random) -> float:
        return max(0.0, (ON_W if seat.way(at_s) else OFF_W) + chance.gauss(0.0, 0.1))

    how, writes = written("json", topic, "number")
    fields = _seat(
        seat.name, topic, expected_s, reports="power", above_w=ABOVE_W, turns_per_min=seat.turns_per_min, **how
    )
    return Channel(seat.name, topic, expected_s, fields, hears, writes)
