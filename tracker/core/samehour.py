"""Stops at the same hour of the dial again and again: a sign that something loads the train there."""

import math
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

WINDOWS_MIN = (60, 120, 180)
"""How wide a stretch of the dial is looked at; the odds count that all of them were tried."""
LEAST_STOPS = 4
BY_CHANCE = 0.01
"""Told where stops spread evenly over the dial would crowd so only this seldom."""
WOUND_BY_THE_CLOCK = 0.05
"""Not told where the watch was wound at so alike an hour that its reserve alone would crowd its stops like this."""


@dataclass(frozen=True, slots=True)
class SameHour:
    """So many of all the stops whose hands were read lie between two places of the dial (minutes, the first first).

    `by_chance`: at most so likely if stops fell evenly over the dial.
    """

    by_chance: float
    count: int
    of: int
    from_min: int
    to_min: int


def same_hour(stops: Sequence[tuple[datetime, int | None]], reserve_h: float, dial_hours: int) -> SameHour | None:
    """Look for a crowd among stops, each with the moment its run began and what the hands showed (None: not read).

    A watch wound at the same hour stops at the same hour, too; that is told apart by where a run of `reserve_h` would
    have brought each of them.
    """
    turn = dial_hours * 60
    read = [(began, minutes % turn) for began, minutes in stops if minutes is not None]
    found = _crowd([minutes for _, minutes in read], turn)
    if found is None or found.count < LEAST_STOPS or found.by_chance > BY_CHANCE:
        return None
    lasting = timedelta(hours=reserve_h)
    foreseen = _crowd([_minutes(began + lasting) % turn for began, _ in read], turn)
    return None if foreseen is not None and foreseen.by_chance <= WOUND_BY_THE_CLOCK else found


def _minutes(moment: datetime) -> int:
    return moment.hour * 60 + moment.minute


def _crowd(minutes: Sequence[int], turn: int) -> SameHour | None:
    """The least likely crowd of points on a circle of `turn` minutes."""
    if not minutes:
        return None
    return min((_fullest(sorted(minutes), turn, width) for width in WINDOWS_MIN), key=lambda crowd: crowd.by_chance)


def _fullest(places: Sequence[int], turn: int, width: int) -> SameHour:
    twice = [*places, *(place + turn for place in places)]
    counted = [bisect_right(twice, place + width) - index for index, place in enumerate(places)]
    most = max(counted)
    start = counted.index(most)
    by_chance = min(1.0, len(WINDOWS_MIN) * crowding(len(places), most, width / turn))
    return SameHour(by_chance, most, len(places), places[start], twice[start + most - 1] % turn)


def crowding(points: int, crowd: int, share: float) -> float:
    """Bound on the chance that some stretch of this share of a circle holds so many of points spread evenly over it.

    Such a stretch can be turned until it begins at one of its points: for each of them, at least `crowd` − 1 of the
    others lie in the stretch that follows. Their binomial chances add up to the bound.
    """
    others = points - 1
    tail = (math.comb(others, n) * share**n * (1 - share) ** (others - n) for n in range(crowd - 1, points))
    return min(1.0, points * math.fsum(tail))
