"""What people say of a time, as a moment: `07:30`, this morning, last night, a date and time of their own clock."""

import re
from dataclasses import dataclass
from datetime import MAXYEAR, UTC, date, datetime, time, timedelta
from typing import Literal
from zoneinfo import ZoneInfo

Word = Literal["now", "this morning", "last night", "about"]
Why = Literal["not a clock time", "not a time", "in the gap", "twice there"]

NOW_WITHIN_MIN = 2.0
CLOCK_WITHIN_MIN = 10.0
PART_OF_DAY_WITHIN_MIN = 180.0
DATE_WITHIN_MIN = 720.0

FIRST_YEAR = 1000

MORNING = time(8)
NIGHT = time(23)
A_DAY_BEGINS = timedelta(hours=4)
"""Whoever says "this morning" at one at night has not slept yet and means the morning before."""

_CLOCK = re.compile(r"(\d{1,2})[:.h](\d{2})|(\d{2})(\d{2})")
_HALVES = re.compile(r"(0?[1-9]|1[0-2])(?:[:.](\d{2}))?\s*([ap])\.?m\.?", re.IGNORECASE)
HALF_DAY_H, MINUTES_AN_HOUR = 12, 60


class NoMoment(ValueError):
    """What was said names no moment, or more than one.

    `choices` are the ways to write it that name one, where two are possible.
    """

    def __init__(self, why: Why, said: str, choices: tuple[str, ...] = ()) -> None:
        super().__init__(f"{said}: {why}")
        self.why = why
        self.said = said
        self.choices = choices


@dataclass(frozen=True, slots=True)
class Said:
    """A moment as said: aware and in UTC, the zone's IANA name, how sure in minutes either side.

    `twice`: the clock showed this time twice, and the later one that is past was taken.
    """

    at: datetime
    zone_name: str
    within_min: float
    twice: bool = False


def said(word: Word, clock_text: str, now: datetime, zone: ZoneInfo) -> Said:
    """The moment meant by a word, or by `about` with a time on the clock; never after `now`.

    Raises:
        NoMoment: the clock time is none, or the clocks skipped it.
    """
    if word == "about":
        at, twice = latest_past(clock_text, now, zone)
        return Said(at, zone.key, CLOCK_WITHIN_MIN, twice)
    if word == "now":
        return Said(now.astimezone(UTC), zone.key, NOW_WITHIN_MIN)
    day = (now.astimezone(zone).replace(tzinfo=None) - A_DAY_BEGINS).date()
    local = (
        datetime.combine(day, MORNING) if word == "this morning" else datetime.combine(day - timedelta(days=1), NIGHT)
    )
    # A skipped hour is read past the gap: three hours either side hold both ends of it.
    at = local.replace(tzinfo=zone).astimezone(UTC)
    return Said(min(at, now.astimezone(UTC)), zone.key, PART_OF_DAY_WITHIN_MIN)


def latest_past(clock_text: str, now: datetime, zone: ZoneInfo) -> tuple[datetime, bool]:
    """The latest moment not after `now` at which the clock showed this time, in UTC; and whether it did so twice.

    Raises:
        NoMoment: no time on a clock, or the latest would lie in an hour the clocks skipped.
    """
    clock = clock_time(clock_text)
    day = now.astimezone(zone).date()
    while True:
        local = datetime.combine(day, clock)
        moments = _moments(local, zone)
        if not moments and local.replace(tzinfo=zone).astimezone(UTC) <= now:
            raise NoMoment("in the gap", _minutes(local))
        past = [moment for moment in moments if moment <= now]
        if past:
            return max(past), len(past) > 1
        day -= timedelta(days=1)


def clock_time(text: str) -> time:
    """A time on the clock from `07:30`, `7:30`, `7.30`, `7h30` or `0730`; or from `7:30 pm`, `7 pm`, where 12 am is midnight.

    Raises:
        NoMoment: it is none.
    """
    match = _CLOCK.fullmatch(text.strip())
    halved = _HALVES.fullmatch(text.strip())
    if halved is not None and int(halved[2] or 0) < MINUTES_AN_HOUR:
        return time(int(halved[1]) % HALF_DAY_H + HALF_DAY_H * (halved[3].lower() == "p"), int(halved[2] or 0))
    if match is None:
        raise NoMoment("not a clock time", text)
    try:
        return time(int(match[1] or match[3]), int(match[2] or match[4]))
    except ValueError as error:
        raise NoMoment("not a clock time", text) from error


def written(text: str, now: datetime, zone: ZoneInfo) -> Said:
    """The moment of a date and time in ISO 8601, with an offset or else on the clock of `zone`.

    A date alone is the noon of its day, give or take twelve hours (today: the middle of what has passed of it, give or
    take half of that); with a time it is exact.

    Raises:
        NoMoment: it is no such text, the clocks skipped it, or they showed it twice.
    """
    try:
        day = _day(text)
        if day is not None:
            return _some_time_on(day, now, zone)
        moment = datetime.fromisoformat(text.strip())
        return Said(_utc(moment) if moment.tzinfo else _only(moment, zone), zone.key, 0.0)
    except NoMoment:
        raise
    except (ValueError, OverflowError) as error:
        raise NoMoment("not a time", text) from error


def _some_time_on(day: date, now: datetime, zone: ZoneInfo) -> Said:
    if day != now.astimezone(zone).date():
        return Said(_utc(datetime.combine(day, time(12), zone)), zone.key, DATE_WITHIN_MIN)
    half = (now - _utc(datetime.combine(day, time(), zone))) / 2
    return Said((now - half).astimezone(UTC), zone.key, half / timedelta(minutes=1))


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        return None


def _utc(moment: datetime) -> datetime:
    """In UTC, if its year has four digits there and on every clock."""
    at = moment.astimezone(UTC)
    if not FIRST_YEAR < at.year < MAXYEAR:
        raise OverflowError
    return at


def _only(local: datetime, zone: ZoneInfo) -> datetime:
    moments = _moments(local, zone)
    if not moments:
        raise NoMoment("in the gap", _minutes(local))
    if len(moments) > 1:
        choices = tuple(moment.astimezone(zone).isoformat(timespec="minutes") for moment in moments)
        raise NoMoment("twice there", _minutes(local), choices)
    return _utc(moments[0])


def _moments(local: datetime, zone: ZoneInfo) -> list[datetime]:
    """Every moment, earliest first, at which the clocks of `zone` show `local`: one, two in a fold, none in a gap."""
    read = [local.replace(tzinfo=zone, fold=fold).astimezone(UTC) for fold in (0, 1)]
    return sorted({moment for moment in read if moment.astimezone(zone).replace(tzinfo=None) == local})


def _minutes(local: datetime) -> str:
    return local.isoformat(sep=" ", timespec="minutes")
