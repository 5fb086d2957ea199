"""What the windings of a watch tell of its owner's habit: the usual time of day, interval and crown turns.

A claim needs evidence: too few windings, or times that might as well be anywhere in the day, and there is none.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from statistics import median
from zoneinfo import ZoneInfo

DAY_MIN = 1440.0
OF_LATE = 60
"""So many windings are looked back on."""
LEAST = 8
"""Fewer of a kind tell nothing."""
BY_CHANCE = 0.01
"""Times of day claim a habit only where they would lie as close by chance less often than this."""
WITHIN_MIN = 30.0
"""Windings said more loosely than this tell no time of day."""
SATURDAY = 5


@dataclass(frozen=True, slots=True)
class Winding:
    """One full winding: its moment, how sure in minutes, and the crown turns if they were counted."""

    at: datetime
    within_min: float = 0.0
    crown_turns: float | None = None


@dataclass(frozen=True, slots=True)
class TimeOfDay:
    """Usually at this minute of the owner's day, give or take `spread_min` (one circular standard deviation)."""

    minute: float
    spread_min: float
    windings: int


@dataclass(frozen=True, slots=True)
class Usual:
    """The middle of so many values, and the two that hold the middle half of them."""

    low: float
    mid: float
    high: float
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Habit:
    """What is usual; None where there is not enough evidence. Intervals are hours from one winding to the next."""

    on_weekdays: TimeOfDay | None = None
    at_weekends: TimeOfDay | None = None
    interval_h: Usual | None = None
    crown_turns: Usual | None = None

    def time_of(self, weekday: int) -> TimeOfDay | None:
        """The usual time on a day of the week (Monday is 0)."""
        return self.at_weekends if weekday >= SATURDAY else self.on_weekdays


def learned(windings: Sequence[Winding], zone: ZoneInfo) -> Habit:
    """The habit shown by the newest of these windings, given in order of time."""
    late = windings[-OF_LATE:]
    local = [each.at.astimezone(zone) for each in late if each.within_min <= WITHIN_MIN]
    minutes = [(moment.weekday() >= SATURDAY, 60.0 * moment.hour + moment.minute) for moment in local]
    turns = [each.crown_turns for each in late if each.crown_turns is not None]
    return Habit(
        on_weekdays=time_of_day([minute for weekend, minute in minutes if not weekend]),
        at_weekends=time_of_day([minute for weekend, minute in minutes if weekend]),
        interval_h=usual([(after.at - before.at) / timedelta(hours=1) for before, after in pairwise(late)]),
        crown_turns=usual(turns),
    )


def time_of_day(minutes: Sequence[float]) -> TimeOfDay | None:
    """The circular mean and standard deviation of minutes of the day, if they claim a habit (Rayleigh's test)."""
    if len(minutes) < LEAST:
        return None
    direction, length = resultant([2.0 * math.pi * minute / DAY_MIN for minute in minutes])
    if rayleigh(length, len(minutes)) > BY_CHANCE:
        return None
    spread = math.sqrt(max(0.0, -2.0 * math.log(length)))
    return TimeOfDay(direction * DAY_MIN / (2.0 * math.pi) % DAY_MIN, spread * DAY_MIN / (2.0 * math.pi), len(minutes))


def resultant(angles: Sequence[float]) -> tuple[float, float]:
    """The mean direction (radians) of angles and the length of their mean vector, 0 to 1."""
    x = math.fsum(math.cos(angle) for angle in angles) / len(angles)
    y = math.fsum(math.sin(angle) for angle in angles) / len(angles)
    return math.atan2(y, x), min(1.0, math.hypot(x, y))


def rayleigh(length: float, count: int) -> float:
    """How often directions strewn evenly would have a mean vector so long (the usual approximation, e.g. Zar, 27.1)."""
    long = (length * count) ** 2
    return min(1.0, math.exp(math.sqrt(1.0 + 4.0 * count + 4.0 * (count**2 - long)) - (1.0 + 2.0 * count)))


def usual(values: Sequence[float]) -> Usual | None:
    """The middle of these values and of their halves."""
    if len(values) < LEAST:
        return None
    ordered = sorted(values)
    half = len(ordered) // 2
    return Usual(median(ordered[: half + len(ordered) % 2]), median(ordered), median(ordered[half:]), len(ordered))


def passed(habit: Habit, now: datetime, zone: ZoneInfo) -> bool:
    """Whether the usual time of today has passed by more than its spread, or nothing is usual: then a reminder helps."""
    local = now.astimezone(zone)
    due = habit.time_of(local.weekday())
    return due is None or 60.0 * local.hour + local.minute > due.minute + due.spread_min
