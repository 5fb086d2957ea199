"""Until when a reminder can be put off."""

from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

from tracker.reminders.plan import WORTH_SAYING
from tracker.reminders.reminder import ROUND

AHEAD = (timedelta(minutes=30), timedelta(hours=1), timedelta(hours=3))
BY_THE_CLOCK = (time(8), time(19))
APART = timedelta(minutes=45)
"""Two moments nearer to each other than this are no choice."""


def end(kind: str, useful_until: datetime, now: datetime) -> datetime:
    """From when on it is too late: what is useful is not put off beyond that; what is late, as long as it is worth saying."""
    return useful_until if now < useful_until or kind == ROUND else useful_until + WORTH_SAYING


def choices(kind: str, useful_until: datetime, now: datetime, zone: ZoneInfo) -> list[datetime]:
    """Moments to choose from, in order: soon, or next morning or evening on the owner's clock; none when it is too late."""
    whole = now.replace(second=0, microsecond=0)
    soon = [whole + ahead for ahead in AHEAD]
    later = sorted(_next(clock, soon[-1] + APART, zone) for clock in BY_THE_CLOCK)
    return [each for each in (*soon, *later) if each < end(kind, useful_until, now)]


def _next(clock: time, after: datetime, zone: ZoneInfo) -> datetime:
    local = after.astimezone(zone)
    today = datetime.combine(local.date(), clock, zone)
    found = today if today > local else datetime.combine(local.date() + timedelta(days=1), clock, zone)
    return found.astimezone(after.tzinfo)
