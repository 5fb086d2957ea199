"""When the owner goes round: wall-clock rules to moments."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

DAY = timedelta(days=1)
BEFORE_LEAVING = timedelta(minutes=30)
"""Where no round is left before leaving, so long before it there is still time for one."""


@dataclass(frozen=True, slots=True)
class RoundTime:
    """A round on these days of the week (Monday is 0) at this time of the owner's clock."""

    weekdays: frozenset[int]
    at: time


@dataclass(frozen=True, slots=True)
class Away:
    """An absence: no round is open from leaving to the return, which is one itself."""

    leave: datetime
    back: datetime

    def holds(self, moment: datetime) -> bool:
        """Whether the owner is gone at a moment."""
        return self.leave <= moment < self.back


def moments(
    rules: Iterable[RoundTime], first: datetime, last: datetime, zone: ZoneInfo, days_off: Collection[date] = ()
) -> list[datetime]:
    """The rounds from `first` to `last`, both included, in UTC and in order, doubles merged; none on days off.

    A time that the clocks skip is read by the offset before the gap, one they show twice is the first of the two (as RFC
    5545, 3.3.5, reads local times).
    """
    found: set[datetime] = set()
    # A day either side: a zone may be far from UTC.
    day, until = first.astimezone(zone).date() - DAY, last.astimezone(zone).date() + DAY
    rules = list(rules)
    while day <= until:
        if day not in days_off:
            found |= {_moment(day, rule.at, zone) for rule in rules if day.weekday() in rule.weekdays}
        day += DAY
    return sorted(moment for moment in found if first <= moment <= last)


def _moment(day: date, at: time, zone: ZoneInfo) -> datetime:
    return datetime.combine(day, at, zone).astimezone(UTC)
