"""The course of a reserve: its band from the service to now, the forecast beyond, the threshold, a sudden drop."""

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from tracker.core.paths import Track
from tracker.core.reserve import Band
from tracker.core.segment import YEAR
from tracker.plots import dates
from tracker.plots.picture import BAND, BODY, Figure, band, line

Points = tuple[list[datetime], list[Band]]


@dataclass(frozen=True, slots=True)
class Course:
    """A track on the calendar: ages count from `since`; `asked_at` parts what was from what may come."""

    track: Track
    since: datetime
    asked_at: datetime

    def at(self, moment: datetime) -> Band:
        """The reserve (the median run, hours) at a moment."""
        return Band(*self.track.at((moment - self.since) / YEAR))

    def between(self, start: datetime, end: datetime) -> Points:
        """The reserve at each age of the track between two moments, and at both of them."""
        moments = [self.since + age * YEAR for age in self.track.age_years]
        inside = [start, *(moment for moment in moments if start < moment < end), end]
        return inside, [self.at(moment) for moment in inside]


def ground(points: Points, unit_h: float, zone: ZoneInfo, *, fill: str = BAND) -> list[Figure]:
    """The band, nine chances in ten, as a tinted ground; hours are drawn as so many of `unit_h`."""
    low, high = ([round(getattr(each, name) / unit_h, 3) for each in points[1]] for name in ("low", "high"))
    return band(_dates(points, zone), low, high, fill=fill)


def middle(points: Points, unit_h: float, zone: ZoneInfo, *, dash: str = "solid", width: float = 3) -> Figure:
    """Its middle, as a line."""
    mid = [round(each.mid / unit_h, 3) for each in points[1]]
    return line(_dates(points, zone), mid, colour=BODY, dash=dash, width=width)


def _dates(points: Points, zone: ZoneInfo) -> list[str]:
    return [dates.local(moment, zone) for moment in points[0]]
