"""Which backups may go, and whether one is due: functions of moments alone."""

from collections.abc import Callable, Collection
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

DAYS, WEEKS, MONTHS = 7, 4, 12
DAY = timedelta(days=1)


def due(made: Collection[datetime], now: datetime, zone: ZoneInfo) -> bool:
    """Whether no backup was made on this day of the owner's.

    What lies ahead of now was made by a clock that went wrong and is no reason to wait until then.
    """
    return not any(each <= now and each.astimezone(zone).date() == now.astimezone(zone).date() for each in made)


def to_delete(made: Collection[datetime], zone: ZoneInfo) -> set[datetime]:
    """The backups that are kept no longer.

    Of the last 7 days that have any the newest of each is kept, so of the last 4 weeks (ISO 8601) and of the last 12
    months. Counted in days that have a backup, not in days gone by: a clock set wrong, or a machine switched off for a
    year, makes none of them old.
    """
    kept = (
        _newest_of_each(made, DAYS, lambda each: each.astimezone(zone).date().toordinal())
        | _newest_of_each(made, WEEKS, lambda each: _week(each.astimezone(zone)))
        | _newest_of_each(made, MONTHS, lambda each: _month(each.astimezone(zone)))
    )
    return {*made} - kept


def _newest_of_each(made: Collection[datetime], most: int, of: Callable[[datetime], int]) -> set[datetime]:
    newest = {of(each): each for each in sorted(made)}
    return {newest[key] for key in sorted(newest)[-most:]}


def _week(moment: datetime) -> int:
    year, week, _ = moment.isocalendar()
    return year * 100 + week


def _month(moment: datetime) -> int:
    return moment.year * 12 + moment.month
