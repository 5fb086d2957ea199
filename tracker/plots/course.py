"""The course of a reserve: its band from the service to now, the forecast beyond, the threshold, a sudden drop."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

import numpy as np

from tracker.core.paths import Track
from tracker.core.reserve import Band
from tracker.core.segment import YEAR
from tracker.plots import dates
from tracker.plots.picture import BAND, BODY, FAN, Figure, band, line

Points = tuple[list[datetime], list[Band]]


@dataclass(frozen=True, slots=True)
class Course:
    """A track on the calendar: ages count from `since`; `asked_at` parts what was from what may come."""

    track: Track
    since: datetime
    asked_at: datetime

    def at(self, moment: datetime) -> Band:
        """The reserve (the median run, hours) at a moment."""
        age, ages = (moment - self.since) / YEAR, self.track.age_years
        return Band(*(float(np.interp(age, ages, points)) for points in self._bands()))

    def between(self, start: datetime, end: datetime) -> Points:
        """The reserve at each age of the track between two moments, and at both of them."""
        moments = [self.since + age * YEAR for age in self.track.age_years]
        inside = [start, *(moment for moment in moments if start < moment < end), end]
        return inside, [self.at(moment) for moment in inside]

    def _bands(self) -> tuple[Sequence[float], Sequence[float], Sequence[float]]:
        return self.track.low, self.track.mid, self.track.high


def grounds(course: Course, end: datetime, unit_h: float, zone: ZoneInfo) -> list[Figure]:
    """What was as a band, nine chances in ten; what may come paler, up to `end`."""
    was, comes = _points(course, end, unit_h, zone)
    return [*band(*was[:2], was[3], fill=BAND), *band(*comes[:2], comes[3], fill=FAN)]


def middles(course: Course, end: datetime, unit_h: float, zone: ZoneInfo) -> list[Figure]:
    """The middle of the band, and broken how it may go on."""
    was, comes = _points(course, end, unit_h, zone)
    return [line(was[0], was[2], colour=BODY, width=3), line(comes[0], comes[2], colour=BODY, dash="dash")]


Columns = tuple[list[str], list[float], list[float], list[float]]


def _points(course: Course, end: datetime, unit_h: float, zone: ZoneInfo) -> tuple[Columns, Columns]:
    """Up to now and from now on: dates; low, middle and high in the unit."""
    was = course.between(course.since, course.asked_at)
    return _columns(was, unit_h, zone), _columns(course.between(course.asked_at, end), unit_h, zone)


def _columns(points: Points, unit_h: float, zone: ZoneInfo) -> Columns:
    moments, bands = points
    low, mid, high = ([round(getattr(each, name) / unit_h, 3) for each in bands] for name in ("low", "mid", "high"))
    return [dates.local(moment, zone) for moment in moments], low, mid, high
