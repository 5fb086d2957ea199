"""For a watch that the rounds can't keep: the daily round that would have to be added."""

from collections.abc import Sequence
from datetime import datetime, time, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

STEP_MIN = 30
AWAKE = (time(7), time(22))
EVENING_MIN = 19 * 60
"""Of the times that help, the one nearest to this is named: whoever has one round has it in the morning, mostly."""
DAY_MIN = 1440


def round_to_add(rounds: Sequence[datetime], lasts_h: float, slack: timedelta, zone: ZoneInfo) -> time | None:
    """The time of a daily round within waking hours that, added to these, leaves no gap the watch does not last.

    None where one round more a day is not enough.
    """
    lasts = timedelta(hours=lasts_h) - slack
    gaps = [(before, after) for before, after in pairwise(rounds) if after - before > lasts]
    times = [minute for minute in range(0, DAY_MIN, STEP_MIN) if AWAKE[0] <= _time(minute) <= AWAKE[1]]
    helping = [minute for minute in times if all(_bridges(gap, _time(minute), lasts, zone) for gap in gaps)]
    return _time(min(helping, key=lambda minute: abs(minute - EVENING_MIN))) if gaps and helping else None


def _bridges(gap: tuple[datetime, datetime], at: time, lasts: timedelta, zone: ZoneInfo) -> bool:
    before, after = gap
    day, moments = before.astimezone(zone).date(), [before]
    while day <= after.astimezone(zone).date():
        moment = datetime.combine(day, at, zone).astimezone(before.tzinfo)
        if before < moment < after:
            moments.append(moment)
        day += timedelta(days=1)
    return all(later - sooner <= lasts for sooner, later in pairwise([*moments, after]))


def _time(minute: int) -> time:
    return time(minute // 60, minute % 60)
