"""The turns of a winder channel, day by day, as its page shows them."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from typing import NamedTuple
from zoneinfo import ZoneInfo

from sensors.turns import HOUR_S, Hour
from tracker import phrases
from tracker.words import say, written


class TurnDay(NamedTuple):
    """A day of the owner's: turns by direction, and for how long of it they are known."""

    day: str
    clockwise: str
    anticlockwise: str
    not_known: str
    known: str

    @property
    def is_known(self) -> bool:
        """Whether anything is."""
        return self.clockwise != ""


WAYS = ("clockwise", "anticlockwise", "not_known")


def turn_days(hours: Sequence[Hour], now: datetime, zone: ZoneInfo, days: int) -> list[TurnDay]:
    """The last days, the newest first; of a day of which nothing is known no turns are told."""
    told = defaultdict[date, list[Hour]](list)
    for hour in hours:
        told[datetime.fromtimestamp(hour.hour * HOUR_S, UTC).astimezone(zone).date()].append(hour)
    today = now.astimezone(zone).date()
    every = [today - timedelta(days=back) for back in range(days + 1)]
    first = min(told, default=today)
    return [_day(each, told.get(each, []), now, zone) for each in every if each >= first]


def _day(day: date, hours: Sequence[Hour], now: datetime, zone: ZoneInfo) -> TurnDay:
    # Noon: the name of the day must not hang on its shift of clocks.
    name = phrases.day(datetime(day.year, day.month, day.day, 12, tzinfo=zone), now, zone)
    known_h = sum(hour.known_s for hour in hours) / HOUR_S
    if not known_h:
        return TurnDay(name, "", "", "", say("nothing known"))
    clockwise, anticlockwise, not_known = (written(sum(getattr(hour, way) for hour in hours), ".0f") for way in WAYS)
    return TurnDay(name, clockwise, anticlockwise, not_known, phrases.length(known_h))


def heads(days: Sequence[TurnDay]) -> list[tuple[str, str]]:
    """The columns that hold any turns, each with its head; of none at all one, to say so."""
    labels = {
        "clockwise": say("clockwise"),
        "anticlockwise": say("anticlockwise"),
        "not_known": say("direction not known"),
    }
    held = [way for way in WAYS if any(getattr(each, way) not in {"", "0"} for each in days)]
    return [(way, labels[way]) for way in held] or [("not_known", say("turns"))]
