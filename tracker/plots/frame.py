"""The frame of a run-down history: from when to when, between which hours, and in which unit."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from tracker import phrases
from tracker.core.paths import Track
from tracker.core.segment import YEAR
from tracker.plots.marks import Mark

LEAST_FAN_YEARS, MOST_FAN_YEARS, FAN_SHARE = 0.5, 5.0, 0.4
"""The forecast goes on for this share of what is known, within these years."""
LOWEST, HIGHEST = 0.6, 1.35
"""Runs beyond so many times the lowest and highest reserve are left to the table: they would press all others flat."""
ROOM, ROOM_AT_START = 0.08, 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """What is drawn. `unit_h` is the length of the unit the hours are shown in: an hour or a day."""

    start: datetime
    end: datetime
    low_h: float
    high_h: float
    unit_h: float

    def holds(self, hours: float) -> bool:
        """Whether a length lies within the picture."""
        return self.low_h <= hours <= self.high_h

    def shows(self, mark: Mark) -> bool:
        """Whether a run can be seen in it."""
        low, high = (mark.anchors_h[0], mark.anchors_h[-1]) if mark.anchors_h else (self.low_h, self.low_h)
        if mark.form == "bar":
            return low < self.high_h and high > self.low_h
        return any(self.holds(hours) for hours in mark.anchors_h) if mark.anchors_h else True


def frame(marks: Sequence[Mark], levels: Sequence[float], track: Track, since: datetime, now: datetime) -> Frame:
    """Hold every run that bears on the reserve, these levels, and as much of the forecast as what is known allows."""
    start = min([since, *(mark.at for mark in marks)])
    fan_years = min(max(FAN_SHARE * ((now - start) / YEAR), LEAST_FAN_YEARS), MOST_FAN_YEARS)
    end = now + fan_years * YEAR
    shown = sum(since + age * YEAR <= end for age in track.age_years)
    lowest, highest = min(track.low[:shown]), max(track.high[:shown])
    near = [hours for hours in _pressing(marks) if LOWEST * lowest <= hours <= HIGHEST * highest]
    low_h, high_h = min([lowest, *levels, *near]), max([highest, *levels, *near])
    room_h = ROOM * (high_h - low_h)
    return Frame(
        start=start - ROOM_AT_START * (end - start),
        end=end,
        low_h=max(0.0, low_h - room_h),
        high_h=high_h + room_h,
        unit_h=phrases.A_DAY_H if track.low[shown - 1] > phrases.DAYS_FROM_H else 1.0,
    )


def _pressing(marks: Sequence[Mark]) -> Iterator[float]:
    """The hours that a picture should reach to; of moments that the hands allow, one is true and the others are not."""
    for mark in marks:
        if mark.form != "dots":
            yield from mark.anchors_h
