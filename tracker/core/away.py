"""What becomes of a watch while its owner is gone: safe until when, going at the return or not, what to set then."""

from calendar import monthrange
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from tracker.core.curve import Curve
from tracker.core.windby import hours_at_risk, still_going

EARLY_RISK, LATE_RISK = 0.05, 0.95
SURE = 0.99
"""From this chance on a watch is simply called going, or stopped, at the return."""
HOUR = timedelta(hours=1)
DAY = timedelta(days=1)
LONGEST_H = 24.0 * 366 * 20
"""Hours beyond this are as good as for ever; a date further off could not be written."""


@dataclass(frozen=True, slots=True)
class Outlook:
    """A full run and the return.

    `safe_until`: until then it stops no likelier than accepted. `going_at_return`: chance that it still goes. It stops
    between `stops_from` and `stops_to` in nine of ten such runs.
    """

    safe_until: datetime
    going_at_return: float
    stops_from: datetime
    stops_to: datetime

    def settled(self) -> bool | None:
        """True if it is as good as sure to be going at the return, False to have stopped, None if neither."""
        if self.going_at_return >= SURE:
            return True
        return False if self.going_at_return <= 1.0 - SURE else None


def outlook(curve: Curve, p: float, started_at: datetime, back: datetime, *, seen_going_h: float = 0.0) -> Outlook:
    """The outlook of a run that began full at `started_at` and was seen going so many hours after.

    Args:
        curve: how long a clean run lasts.
        p: the accepted chance that it stops before its wind-by, 0 to 1.
        started_at: the full winding; it may lie ahead.
        back: the return.
        seen_going_h: hours after the winding at which it was last known to be going.
    """

    def at_risk(risk: float) -> datetime:
        return started_at + min(LONGEST_H, hours_at_risk(curve, risk, seen_going_h=seen_going_h)) * HOUR

    return Outlook(
        safe_until=at_risk(p),
        going_at_return=still_going(curve, (back - started_at) / HOUR, seen_going_h=seen_going_h),
        stops_from=at_risk(EARLY_RISK),
        stops_to=at_risk(LATE_RISK),
    )


def days_stopped(found: Outlook, back: datetime, zone: ZoneInfo) -> tuple[int, int]:
    """By how many days its calendar is behind at the return if it has stopped: fewest and most, by the owner's days."""
    home = back.astimezone(zone).date()
    latest, earliest = (min(moment, back).astimezone(zone).date() for moment in (found.stops_to, found.stops_from))
    return (home - latest).days, (home - earliest).days


def date_steps(shows: date, back: date) -> int:
    """Steps forward that bring a date window of 31 days, as it showed on one day, to another."""
    return (back.day - shows.day) % 31


def steps_of_stopped(found: Outlook, back: datetime, zone: ZoneInfo) -> list[int]:
    """The steps its date window may want at the return if it has stopped, by the days on which it may have."""
    home = back.astimezone(zone).date()
    fewest, most = days_stopped(found, back, zone)
    steps = [date_steps(home - days * DAY, home) for days in range(fewest, most + 1)]
    return sorted({*steps}, key=steps.index)


def steps_of_going(leave: datetime, back: datetime, zone: ZoneInfo) -> int:
    """The steps that the date window of a watch that went on wants, for every short month that ended meanwhile."""
    day, home, steps = leave.astimezone(zone).date(), back.astimezone(zone).date(), 0
    while (day.year, day.month) < (home.year, home.month):
        length = monthrange(day.year, day.month)[1]
        steps += 31 - length
        day = day.replace(day=1) + length * DAY
    return steps % 31
