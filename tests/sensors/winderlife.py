"""A seat of a winder whose turns are known, and what a channel would send of them."""

from collections.abc import Callable
from random import Random
from typing import NamedTuple

from sensors import winder
from sensors.follow import Follower
from sensors.turns import Hour

EXPECTED_S = 60.0
BEGIN_S = 1_795_644_000.0
Readings = list[tuple[float, float]]


class Stretch(NamedTuple):
    """Turning, or resting at 0 turns a minute, for some whole minutes; below 0 anticlockwise."""

    minutes: int
    a_minute: float


def turned(stretches: list[Stretch], after_s: float) -> tuple[float, float]:
    """The turns made so long after the beginning, clockwise and anticlockwise."""
    clockwise = anticlockwise = 0.0
    for stretch in stretches:
        minutes = min(stretch.minutes, max(0.0, after_s / 60.0))
        clockwise += max(0.0, stretch.a_minute) * minutes
        anticlockwise += max(0.0, -stretch.a_minute) * minutes
        after_s -= stretch.minutes * 60.0
    return clockwise, anticlockwise


def lived(chance: Random, hours: float = 30.0) -> list[Stretch]:
    """Turning by turns one way, the other way, and not at all."""
    stretches: list[Stretch] = []
    while sum(stretch.minutes for stretch in stretches) < hours * 60:
        stretches.append(Stretch(chance.randint(1, 90), chance.choice([0, 0, 8.0, -8.0, 5.0])))
    return stretches


def read_out(minutes: int, at: Callable[[float], float], every: int = 1) -> Readings:
    """A reading so often of what `at` tells at that many seconds after the beginning."""
    return [(BEGIN_S + minute * 60.0, at(minute * 60.0)) for minute in range(0, minutes + 1, every)]


def fed(setup: winder.Setup, *batches: Readings) -> list[Hour]:
    """The hours that a follower tells of."""
    follower: Follower[winder.Course, winder.Found] = Follower(setup)
    found: list[winder.Found] = []
    for batch in batches:
        follower.add(batch)
        found += follower.settled()
    return winder.hours(found + follower.recent, follower.course)


def sums(hours: list[Hour]) -> tuple[float, float, float]:
    """Clockwise, anticlockwise, not known."""
    return (
        sum(hour.clockwise for hour in hours),
        sum(hour.anticlockwise for hour in hours),
        sum(hour.not_known for hour in hours),
    )
