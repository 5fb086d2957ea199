"""What is said of a decline: how much is lost, on what evidence, by when more will be, and since when a service is due."""

from collections.abc import Callable
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from tracker import phrases
from tracker.core.cue import Cue, Step
from tracker.core.decline import Dates, Evidence, Forecast, Reason
from tracker.core.spread import Band
from tracker.core.timing import LEAST_AFTER_24H_DEG, Figure
from tracker.words import say, written

TO_THE_YEAR = timedelta(days=4 * 365)
"""A date is told by its year alone where its band is wider than this …"""
TO_THE_MONTH = timedelta(days=75)
"""… and by its month where it is wider than this."""
HALF = 0.5
DAYS_A_YEAR = 365.25


def percent(share: float) -> str:
    """A share in hundredths, such as `12 %`."""
    return say("{n} %", n=round(100 * share))


def lost(band: Band) -> str:
    """The middle of what is lost, such as `about 12 %`; a gain is none."""
    return say("about {share}", share=percent(max(0.0, band.mid)))


def lost_span(band: Band) -> str:
    """The band of what is lost, such as `6 to 17 %`."""
    low, high = (round(100 * max(0.0, share)) for share in (band.low, band.high))
    if high == 0:
        return say("nothing")
    if low == 0:
        return say("up to {n} %", n=high)
    return say("{low} to {high} %", low=low, high=high) if low != high else say("{n} %", n=low)


def counted(stops: int, going: int, at_most: int = 0) -> str:
    """The runs behind it, such as `12 stops, 6 “at most” and 41 “at least”`; stops are those known from both sides."""
    told = [say("1 stop") if stops == 1 else say("{n} stops", n=stops)] if stops else []
    told += [say("{n} “at most”", n=at_most)] if at_most else []
    told += [say("{n} “at least”", n=going)] if going else []
    return phrases.listed(told) if told else say("no run yet")


def step(word: Step) -> str:
    """A step of a cue as the page heads it."""
    return say("Keep an eye on it") if word == "keep an eye" else say("Service advised")


def cue_on_watch(cue: Cue, now: datetime, zone: ZoneInfo) -> str:
    """What the page of a watch says of its cue."""
    if cue.quiet_until is not None and cue.quiet(now):
        until = cue.quiet_until
        return say("Its reserve: you know; asks again {until}", until=phrases.day(until, now, zone))
    if cue.step == "keep an eye":
        return say("Its reserve wants attention: keep an eye on it")
    return say("Its reserve wants attention: service advised")


def why(
    reason: Reason,
    band: Band,
    *,
    nickname: str,
    serviced: bool,
    threshold: float,
    least_h: float | None,
    interval_years: float | None,
    low_amplitude: Figure | None = None,
) -> str:
    """The sentence a cue stands on; a low amplitude after 24 h is named beside a fall, never alone."""
    told = {"nickname": nickname, "lost": lost(band), "span": lost_span(band)}
    if reason == "below least" and least_h is not None:
        return say(
            "{nickname} probably runs for less than the {least} you want of it.",
            nickname=nickname,
            least=least(least_h),
        )
    if serviced:
        sentence = say("{nickname} has lost {lost} of its reserve since its service ({span}).", **told)
    else:
        sentence = say("{nickname} has lost {lost} of its reserve since its log began ({span}).", **told)
    beside = ""
    if reason == "fallen and due" and interval_years is not None:
        beside = say("Its service is more than {years} years past, too.", years=written(interval_years, "g"))
    elif reason == "fallen far":
        beside = say("That is probably more than {share}.", share=percent(2 * threshold))
    return " ".join(part for part in (sentence, beside, _low(low_amplitude)) if part)


def _low(amplitude: Figure | None) -> str:
    if amplitude is None:
        return ""
    return say(
        "Its amplitude after 24 h was low, too: {n}° lying flat, from {count} readings; under {least}° is low.",
        n=int(amplitude.value),
        count=amplitude.readings,
        least=written(LEAST_AFTER_24H_DEG, "g"),
    )


_NOT_ENOUGH: dict[Evidence, tuple[str, str]] = {
    # since its log began, since its service
    "enough": ("", ""),
    "no run": ("no run has been seen to its end.", "no run since its service has been seen to its end."),
    "no stop": (
        "it was never left to stop. One run-down would tell more than a year of winding.",
        "since its service it was never left to stop. One run-down would tell more than a year of winding.",
    ),
    "at most only": (
        "it was only found stopped, nobody knows since when. Its hands, read at the stop, would tell.",
        "since its service it was only found stopped, nobody knows since when. Its hands, read at the stop, would tell.",
    ),
    "one stop": (
        "it was seen to stop once, and one stop may be a slip of the pen.",
        "since its service it was seen to stop once, and one stop may be a slip of the pen.",
    ),
}


def not_enough(evidence: Evidence, *, serviced: bool) -> str:
    """What is missing before a decline can be spoken of, since its service where one is known; empty where nothing is."""
    missing = _NOT_ENOUGH[evidence][serviced]
    return say("Not enough evidence yet: {missing}", missing=say(missing)) if missing else ""


def forecast(told: Forecast | None, share: float, now: datetime, zone: ZoneInfo) -> str:
    """By when a loss of this share was or will be reached."""
    return _forecast(told, say("A loss of {share}", share=percent(share)), now, zone)


def forecast_short(told: Forecast | None, now: datetime, zone: ZoneInfo) -> str:
    """The same for a table, such as `about 2033 (2030 to 2042)`."""
    if told is None:
        return say("not in sight")
    low, mid, high = _points(told, zone)
    if not mid:
        return say("hardly before {low}", low=low) if told.low > now else say("perhaps never")
    if not high:
        return say("as likely as not by {mid}, perhaps never", mid=mid)
    return mid if low == high else say("about {mid} ({low} to {high})", low=low, mid=mid, high=high)


def forecast_middle(told: Forecast | None, zone: ZoneInfo) -> str:
    """The date by which it is as likely as not, as finely as its band allows; empty where it never is."""
    return "" if told is None else _points(told, zone)[1]


def least(hours: float) -> str:
    """The owner's least reserve."""
    return phrases.in_hours(hours, 1.0 if hours % 1 == 0 else HALF)


def forecast_least(told: Forecast | None, least_h: float, now: datetime, zone: ZoneInfo) -> str:
    """By when the owner's least reserve was or will be reached."""
    return _forecast(told, say("Less than the {least} you want", least=least(least_h)), now, zone)


def _forecast(told: Forecast | None, loss: str, now: datetime, zone: ZoneInfo) -> str:
    if told is None:
        return say("{loss} is not in sight.", loss=loss)
    low, mid, high = _points(told, zone)
    return say(_reached(told, now, known=low == high), loss=loss, low=low, mid=mid, high=high)


def _reached(told: Forecast, now: datetime, *, known: bool) -> str:
    """The sentence for a forecast; `known` where all its dates read alike."""
    if told.mid is None:
        return "{loss} is not in sight, hardly before {low}." if told.low > now else "{loss} may never be reached."
    if told.high is None:
        return (
            "{loss} would be reached not before {low}, as likely as not by {mid}, perhaps never."
            if told.low > now
            else "{loss} would be reached as likely as not by {mid}, perhaps never."
        )
    if told.high <= now:
        return "{loss} was reached ({mid})." if known else "{loss} was reached about {mid} (between {low} and {high})."
    if told.mid <= now:
        return "{loss} has probably been reached, about {mid} (between {low} and {high})."
    return "{loss} is to be expected about {mid} (between {low} and {high}), if it goes on like this."


def between(dates: Dates, zone: ZoneInfo) -> str:
    """A date by its band, such as `between 20 and 29 Jun 2026`."""
    low, mid, high = _said(dates, zone)
    if low == high:
        return say("in {when}", when=mid)
    return say("between {low} and {high}, most likely about {mid}", low=low, mid=mid, high=high)


def _said(dates: Dates, zone: ZoneInfo) -> tuple[str, str, str]:
    """The three dates, as finely as their band allows."""
    tell = _finely(dates.high - dates.low)
    return tell(dates.low, zone), tell(dates.mid, zone), tell(dates.high, zone)


def _points(told: Forecast, zone: ZoneInfo) -> tuple[str, str, str]:
    """The three dates of a forecast as finely as all of them allow; empty for never."""
    tell = year_of if told.high is None else _finely(told.high - told.low)
    mid, high = (tell(each, zone) if each else "" for each in (told.mid, told.high))
    return tell(told.low, zone), mid, high


def _finely(width: timedelta) -> Callable[[datetime, ZoneInfo], str]:
    return year_of if width > TO_THE_YEAR else month_of if width > TO_THE_MONTH else day_of


def year_of(moment: datetime, zone: ZoneInfo) -> str:
    """The year on the owner's calendar."""
    return str(moment.astimezone(zone).year)


def month_of(moment: datetime, zone: ZoneInfo) -> str:
    """Month and year on the owner's calendar, such as `May 2024`."""
    local = moment.astimezone(zone)
    return phrases.month_of(local.date())


def day_of(moment: datetime, zone: ZoneInfo) -> str:
    """The day on the owner's calendar, such as `3 May 2024`."""
    local = moment.astimezone(zone)
    return phrases.date_of(local.date())


def years(count: float) -> str:
    """A number of years, finer while there are few."""
    months = round(12 * count)
    days = round(DAYS_A_YEAR * count)
    if days == 0:
        return say("less than a day")
    if months == 0:
        return say("1 day") if days == 1 else say("{n} days", n=days)
    if count < 1:
        return say("1 month") if months == 1 else say("{n} months", n=months)
    return say("{n} years", n=written(count, ".1f") if count < 10 else written(count, ".0f"))  # noqa: PLR2004 -- no finer is felt


def seldom() -> str:
    """What is said above every list of services (common practice, no source)."""
    return say("Less reserve alone is seldom a reason to open a watch. What it shows is where to look next.")
