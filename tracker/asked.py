"""What the owner's settings ask of the figures: the day, the fall to be told of, the stops that are accepted."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

from tracker.commands.settings import Settings
from tracker.core.watch import Stake


def today_of(now: datetime, settings: Settings) -> date:
    """The owner's day."""
    return now.astimezone(ZoneInfo(settings.zone)).date()


def threshold_of(settings: Settings) -> float:
    """The share of a reserve whose loss the owner would hear of."""
    return settings.fall_percent / 100


def stops_a_year(settings: Settings, stake: Stake) -> float:
    """How many stops a year the owner would accept of a watch of this stake."""
    accepted = {
        "time only": settings.stops_a_year_time_only,
        "date": settings.stops_a_year_date,
        "calendar": settings.stops_a_year_calendar,
    }
    return accepted[stake]
