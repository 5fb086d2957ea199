"""Dates along an axis, in the owner's zone: few enough for a phone, on the first of a month."""

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from tracker import phrases

STEPS = (1, 2, 3, 6, 12, 24, 60, 120)
"""Months from one mark to the next."""
MOST = 6
A_YEAR = 12
LEAST = 2
"""Fewer first days of months than this tell no length: then days are marked."""
DAY_STEPS = (1, 2, 7, 14, 28)
"""Days from one mark to the next."""


def local(moment: datetime, zone: ZoneInfo) -> str:
    """A moment as plotly takes it: the owner's wall clock, without a zone."""
    return f"{moment.astimezone(zone):%Y-%m-%d %H:%M}"


def month(moment: datetime, zone: ZoneInfo) -> str:
    """Month and year, for what is known no better."""
    return phrases.month_of(moment.astimezone(zone).date())


def ticks(start: datetime, end: datetime, zone: ZoneInfo, *, most: int = MOST) -> dict[str, list[str]]:
    """At most so many marks between two moments, and what they say; the year stands where it begins and at the first."""
    first, last = start.astimezone(zone).date(), end.astimezone(zone).date()
    found = next((dates for step in STEPS if len(dates := list(_firsts(first, last, step))) <= most), [])
    if len(found) < LEAST:
        return _days(first, last, most)
    yearly = all(each.month == 1 for each in found)
    texts, told = [], 0
    for each in found:
        year = "" if each.year == told else f"<br>{each.year}"
        texts.append(str(each.year) if yearly else phrases.month(each.month) + year)
        told = each.year
    return {"tickvals": [each.isoformat() for each in found], "ticktext": texts}


def _days(first: date, last: date, most: int) -> dict[str, list[str]]:
    length = (last - first).days
    step = next((step for step in DAY_STEPS if length // step < most), DAY_STEPS[-1])
    found = [last - timedelta(days=back) for back in range(0, length, step)][::-1]
    texts = [phrases.date_within_year(each) for each in found]
    return {"tickvals": [each.isoformat() for each in found], "ticktext": texts}


def _firsts(first: date, last: date, step: int) -> Iterator[date]:
    """First days of months that are a multiple of `step` months from the start of the calendar."""
    index = first.year * A_YEAR + first.month - 1
    index += -index % step if first.day == 1 else step - index % step
    while (day := date(index // A_YEAR, index % A_YEAR + 1, 1)) <= last:
        yield day
        index += step
