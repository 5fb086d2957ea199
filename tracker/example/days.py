"""The days of the past three years in the keeper's own time, and the dice that fill them."""

import random
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

DAYS = 3 * 365 + 1
DAY = timedelta(days=1)
FRIDAY, SATURDAY = 4, 5

BY_DAY_MIN = (6 * 60 + 40, 10 * 60, 13 * 60 + 30, 17 * 60, 20 * 60, 22 * 60 + 40)
"""Minutes after midnight at which somebody may well pass by; no two further apart than eight hours."""


def dice(*names: str) -> random.Random:
    """Dice of this name: the same throws each time."""
    return random.Random("\x1f".join(names))  # noqa: S311 -- a simulation that must repeat, no secret


@dataclass(frozen=True, slots=True)
class Days:
    """Three years up to `now`, in local days of `zone`."""

    now: datetime
    zone: ZoneInfo

    @property
    def today(self) -> date:
        """The local date of now."""
        return self.now.astimezone(self.zone).date()

    def ago(self, days: int) -> date:
        """The local date so many days before today."""
        return self.today - days * DAY

    def __iter__(self) -> Iterator[date]:
        """Every date, oldest first, today included."""
        return (self.ago(days) for days in range(DAYS, -1, -1))

    def moment(self, day: date, minutes: float) -> datetime:
        """So many minutes of the wall clock after the midnight that begins `day`, as a whole minute in UTC."""
        wall = datetime.combine(day, time(), self.zone) + timedelta(minutes=round(minutes))
        return wall.astimezone(UTC)

    def wall(self, moment: datetime) -> datetime:
        """What the clock on the wall shows then, without its zone."""
        return moment.astimezone(self.zone).replace(tzinfo=None)

    def by_day(self, low_h: float, high_h: float, throws: random.Random) -> datetime:
        """A moment between `low_h` and `high_h` hours ago at which people are about; the middle if there is none."""
        earliest, latest = self.now - timedelta(hours=high_h), self.now - timedelta(hours=low_h)
        moments = (
            self.moment(self.today - back * DAY, minutes + throws.uniform(-9, 9))
            for back in range(int(high_h // 24) + 2)
            for minutes in BY_DAY_MIN
        )
        fitting = [moment for moment in moments if earliest <= moment <= latest]
        if fitting:
            return throws.choice(fitting)
        return (earliest + (latest - earliest) / 2).replace(second=0, microsecond=0)

    def absences(self) -> frozenset[date]:
        """The days on which the keeper was away: one weekend in five, two weeks or so a year, none of late."""
        throws, away = dice("absences"), set[date]()
        for day in self:
            if day.weekday() == SATURDAY and throws.random() < 0.2:  # noqa: PLR2004 -- one weekend in five
                away |= {day, day + DAY}
            if day.weekday() == FRIDAY and throws.random() < 1 / 26:
                away |= {day + ahead * DAY for ahead in range(throws.randint(6, 9))}
        return frozenset(day for day in away if day < self.ago(12))
