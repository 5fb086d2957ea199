"""Nights and days along a time axis, on the owner's clock."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from tracker.web.taper import Axis

NIGHT_FROM = time(22)
NIGHT_TO = time(6)
LEAST_LABELLED_H = 5.0
"""A day of which less is seen goes without its name."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A night, or the light part of a day, by its place in the drawing (percent) and its local date."""

    left: float
    width: float
    day: date

    @property
    def middle(self) -> float:
        """Its middle, in percent."""
        return round(self.left + self.width / 2, 2)


def nights(axis: Axis, now: datetime, zone: ZoneInfo) -> list[Stretch]:
    """The nights that are in the drawing, each by the date it begins on."""
    return [
        night
        for day in _dates(axis, now, zone)
        if (night := _stretch(axis, now, day, _at(day, NIGHT_FROM, zone), _at(_next(day), NIGHT_TO, zone)))
    ]


def days(axis: Axis, now: datetime, zone: ZoneInfo) -> list[Stretch]:
    """The days of which enough is in the drawing to carry their name."""
    light = (
        _stretch(axis, now, day, _at(day, NIGHT_TO, zone), _at(day, NIGHT_FROM, zone))
        for day in _dates(axis, now, zone)
    )
    least = axis.percent(LEAST_LABELLED_H) - axis.percent(0.0)
    return [day for day in light if day is not None and day.width >= least]


def _dates(axis: Axis, now: datetime, zone: ZoneInfo) -> Iterator[date]:
    day = (now - timedelta(hours=axis.before_h)).astimezone(zone).date() - timedelta(days=1)
    last = (now + timedelta(hours=axis.after_h)).astimezone(zone).date()
    while day <= last:
        yield day
        day = _next(day)


def _stretch(axis: Axis, now: datetime, day: date, start: datetime, end: datetime) -> Stretch | None:
    hour = timedelta(hours=1)
    left, right = axis.percent((start - now) / hour), axis.percent((end - now) / hour)
    return Stretch(left, round(right - left, 2), day) if right > left else None


def _at(day: date, clock: time, zone: ZoneInfo) -> datetime:
    """In the same zone as `now` is counted, or a clock change would be swallowed by wall-clock arithmetic."""
    return datetime.combine(day, clock, zone).astimezone(ZoneInfo("UTC"))


def _next(day: date) -> date:
    return day + timedelta(days=1)
