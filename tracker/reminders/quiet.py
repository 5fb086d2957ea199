"""Quiet hours: when something is said that would fall into them."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

BEFORE = timedelta(minutes=5)
"""What would fall into quiet hours is said so long before they begin."""
DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Quiet:
    """From one time of the owner's clock to another, over midnight if that is the earlier; nothing if they are equal."""

    begins: time
    ends: time


def told_at(due: datetime, began: datetime, now: datetime, quiet: Quiet, zone: ZoneInfo, *, urgent: bool) -> datetime:
    """When to say what is due at `due`, about a run that began at `began`.

    Outside quiet hours at its time. Within them five minutes before they begin, if they have not begun and the run had;
    else, if `urgent` (a calendar would stop), at its time all the same, and if not, when they are over.
    """
    hours = _hours_of(due, quiet, zone)
    if hours is None:
        return due
    begins, ends = hours
    before = begins - BEFORE
    if begins > now and before >= began:
        return before
    return due if urgent else ends


def _hours_of(due: datetime, quiet: Quiet, zone: ZoneInfo) -> tuple[datetime, datetime] | None:
    """The quiet hours around a moment, if it falls into any."""
    today = due.astimezone(zone).date()
    for day in (today - DAY, today):
        begins = _moment(day, quiet.begins, zone, due)
        ends = _moment(day if quiet.begins <= quiet.ends else day + DAY, quiet.ends, zone, due)
        if begins <= due < ends:
            return begins, ends
    return None


def _moment(day: date, at: time, zone: ZoneInfo, like: datetime) -> datetime:
    return datetime.combine(day, at, zone).astimezone(like.tzinfo)
