"""Which day of the month can a stopped watch show? Days counted on by the mechanism since the date was last set."""

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta

CHANGES_FROM = time(20)
CHANGES_TO = time(4)
"""The hours on the hands in which a date window may change (common practice, no source)."""

LONGEST_MONTH = 31

_DAY = timedelta(days=1)


def may_show(hands: datetime, set_on: date, shown: int) -> bool:
    """Whether a window set on a day can show `shown` when the hands stand at this time of their own.

    While the date changes both days fit. A plain window counts to 31 in every month until it is put right, which may
    happen unnoted at the turn of any month (calendars that know their months do so themselves): each such turn since
    `set_on` may have been put right or not.
    """
    return any(shown == _counted_on(day, right_on) for day in _days(hands) for right_on in _right_on(day, set_on))


def _days(hands: datetime) -> Iterator[date]:
    yield hands.date()
    if hands.time() >= CHANGES_FROM:
        yield hands.date() + _DAY
    elif hands.time() < CHANGES_TO:
        yield hands.date() - _DAY


def _right_on(day: date, set_on: date) -> Iterator[date]:
    yield set_on
    first = day.replace(day=1)
    while first > set_on:
        yield first
        first = (first - _DAY).replace(day=1)


def _counted_on(day: date, right_on: date) -> int:
    return (right_on.day - 1 + (day - right_on).days) % LONGEST_MONTH + 1
