"""When the owner goes round: the moments of the rules kept in the settings."""

from datetime import datetime, time
from zoneinfo import ZoneInfo

from tracker.commands.settings import Settings
from tracker.core.roundtimes import RoundTime, moments

WEEKDAYS, WEEKEND = frozenset(range(5)), frozenset({5, 6})


def round_times(settings: Settings) -> list[RoundTime]:
    """The owner's rules."""
    times = [(WEEKDAYS, settings.rounds_on_weekdays), (WEEKEND, settings.rounds_at_weekends)]
    return [RoundTime(days, time.fromisoformat(at)) for days, each in times for at in each]


def open_rounds(settings: Settings, first: datetime, last: datetime) -> list[datetime]:
    """The rounds from `first` to `last`, both included, in UTC and in order."""
    return moments(round_times(settings), first, last, ZoneInfo(settings.zone))
