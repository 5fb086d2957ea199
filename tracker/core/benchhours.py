"""When someone is at the bench, and so can look at a watch that runs down there."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

EVERY_DAY = frozenset(range(7))
HOUR = timedelta(hours=1)
DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class BenchHours:
    """On these days of the week (0 is Monday), from one time of the clock to another, both included."""

    days: frozenset[int] = EVERY_DAY
    opens: time = time(8)
    closes: time = time(21)


def possible_looks(hours: BenchHours, after: datetime, until: datetime, zone: ZoneInfo) -> list[datetime]:
    """The moments after one and up to another at which a look can be planned, in UTC and in order.

    They are the opening, every full hour, and the closing; those that the clocks skip are left out.
    """
    day, last = after.astimezone(zone).date(), until.astimezone(zone).date()
    found = list[datetime]()
    while day <= last:
        if day.weekday() in hours.days:
            found += [moment for moment in _of_day(hours, day, zone) if after < moment <= until]
        day += DAY
    return found


def _of_day(hours: BenchHours, day: date, zone: ZoneInfo) -> Iterator[datetime]:
    clocks = {hours.opens, hours.closes} | {time(full) for full in range(24) if hours.opens < time(full) < hours.closes}
    for clock in sorted(clocks):
        local = datetime.combine(day, clock)
        moment = local.replace(tzinfo=zone).astimezone(UTC)
        if moment.astimezone(zone).replace(tzinfo=None) == local:
            yield moment
