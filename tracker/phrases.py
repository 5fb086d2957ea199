"""Times and lengths as a watch owner would say them; never more digits than is known."""

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from tracker.words import say, speech, written

DAYS_FROM_H = 72.0
A_DAY_H = 24.0
_NUMBERS = ("none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
"""Short names of the days of the week, to be said."""
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def number(count: int) -> str:
    """A count in words up to twelve, in digits beyond."""
    return say(_NUMBERS[count]) if 0 <= count < len(_NUMBERS) else str(count)


def capital(sentence: str) -> str:
    """The sentence with its first letter large."""
    return sentence[:1].upper() + sentence[1:]


def length(hours: float, *, known_to_h: float = 1.0) -> str:
    """A length: minutes under an hour, hours up to 72, days beyond; a decimal only where it is known that well."""
    if abs(hours) < 1:
        return say("{n} min", n=round(hours * 60))
    if abs(hours) > DAYS_FROM_H:
        return say("{n} days", n=_digits(hours / A_DAY_H, known_to_h / A_DAY_H))
    return in_hours(hours, known_to_h)


def in_hours(hours: float, known_to_h: float) -> str:
    """A length in hours, however long, to stand beside others in hours."""
    return say("{n} h", n=_digits(hours, known_to_h))


def span(low_h: float, high_h: float) -> str:
    """A range of lengths under one unit, such as `19 to 27 h`; one figure where both ends read alike.

    Days only where all of it is days: a low end that asks for winding soon is told in hours.
    """
    width = high_h - low_h
    if low_h > DAYS_FROM_H:
        low, high = _digits(low_h / A_DAY_H, width / A_DAY_H / 2), _digits(high_h / A_DAY_H, width / A_DAY_H / 2)
        return say("{low} to {high} days", low=low, high=high) if low != high else say("{n} days", n=low)
    if high_h < 1:
        low, high = str(round(low_h * 60)), str(round(high_h * 60))
        return say("{low} to {high} min", low=low, high=high) if low != high else say("{n} min", n=low)
    return span_in_hours(low_h, high_h)


def span_in_hours(low_h: float, high_h: float) -> str:
    """The same in hours, however long, to stand beside others in hours."""
    low, high = (_digits(hours, (high_h - low_h) / 2) for hours in (low_h, high_h))
    return say("{low} to {high} h", low=low, high=high) if low != high else say("{n} h", n=low)


def _digits(value: float, known_to: float) -> str:
    """A decimal only where the figure is known to better than half a unit."""
    return written(value, ".1f" if known_to <= 0.5 else ".0f")  # noqa: PLR2004 -- said above


def clock_time(moment: datetime, zone: ZoneInfo) -> str:
    """Hours and minutes on the owner's clock."""
    return clock(moment.astimezone(zone).time())


def clock(at: time) -> str:
    """Hours and minutes as the chosen clock writes them: `19:00`, or `7:00 pm`."""
    if speech().formats.clock == "24 h":
        return f"{at:%H:%M}"
    hours, minutes = at.hour % 12 or 12, f"{at:%M}"
    if at.hour < 12:  # noqa: PLR2004 -- noon
        return say("{hours}:{minutes} am", hours=hours, minutes=minutes)
    return say("{hours}:{minutes} pm", hours=hours, minutes=minutes)


def day(moment: datetime, now: datetime, zone: ZoneInfo) -> str:
    """The day as one says it: today, yesterday, tomorrow, a weekday within the week, else with its date."""
    local, today = moment.astimezone(zone).date(), now.astimezone(zone).date()
    away = (local - today).days
    if away in {-1, 0, 1}:
        return say(("yesterday", "today", "tomorrow")[away + 1])
    weekday = say(DAYS[local.weekday()])
    if abs(away) < 7:  # noqa: PLR2004 -- a week
        return weekday
    if local.year != today.year:
        return date_of(local)
    named = date_of(local) if speech().formats.dates == "year first" else date_within_year(local)
    return say("{weekday} {date}", weekday=weekday, date=named)


def when(moment: datetime, now: datetime, zone: ZoneInfo) -> str:
    """A moment by day and clock, such as `Thu 19:00`."""
    return say("{day} {time}", day=day(moment, now, zone), time=clock_time(moment, zone))


def when_and_distance(moment: datetime, now: datetime, zone: ZoneInfo) -> str:
    """A moment with how far off it is, such as `Thu 19:00, in 9 h` or `today 04:10, 3 h ago`."""
    hours = (moment - now) / timedelta(hours=1)
    said = when(moment, now, zone)
    if hours >= 0:
        return say("{when}, in {length}", when=said, length=length(hours))
    return say("{when}, {length} ago", when=said, length=length(-hours))


def weekday(moment: datetime, zone: ZoneInfo) -> str:
    """The short name of its day of the week."""
    return say(DAYS[moment.astimezone(zone).weekday()])


def month(number: int) -> str:
    """The short name of a month, 1 to 12."""
    return say(_MONTHS[number - 1])


def date_of(day: date) -> str:
    """A day of the calendar: `2024-05-03`, `3 May 2024` or `May 3, 2024`."""
    order = speech().formats.dates
    if order == "year first":
        return f"{day:%Y-%m-%d}"
    if order == "day first":
        return say("{day} {year}", day=date_within_year(day), year=day.year)
    return say("{day}, {year}", day=date_within_year(day), year=day.year)


def date_within_year(day: date) -> str:
    """A day where its year is known: `05-03`, `3 May` or `May 3`."""
    order = speech().formats.dates
    if order == "year first":
        return f"{day:%m-%d}"
    if order == "day first":
        return say("{day} {month}", day=day.day, month=month(day.month))
    return say("{month} {day}", day=day.day, month=month(day.month))


def month_of(day: date) -> str:
    """The month of a day, such as `May 2024`: by name, for no figure of it alone is read for sure."""
    return say("{month} {year}", month=month(day.month), year=day.year)


def listed(told: Sequence[str]) -> str:
    """Several things after each other, such as `a, b and c`."""
    return say(" and ").join(part for part in (", ".join(told[:-1]), told[-1]) if part)


def chance(share: float) -> str:
    """A chance in hundredths, no surer than the tails are known."""
    if share > 0.99:  # noqa: PLR2004 -- the tail is known no better
        return say("over 99 %")
    return say("under 1 %") if share < 0.01 else say("{n} %", n=round(100 * share))  # noqa: PLR2004 -- as above


def full_date(now: datetime, zone: ZoneInfo) -> str:
    """The owner's day and time, for the head of a page."""
    local = now.astimezone(zone).date()
    return say("{weekday} {date}, {time}", weekday=weekday(now, zone), date=date_of(local), time=clock_time(now, zone))


def megabytes(size: int) -> str:
    """A number of bytes, such as `0.3 MB` or `14 MB` (SI: a million bytes)."""
    mb = size / 1e6
    return say("{mb} MB", mb=written(mb, ".0f") if mb >= 10 else written(max(mb, 0.1), ".1f"))  # noqa: PLR2004 -- two digits
