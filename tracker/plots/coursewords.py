"""The course of a reserve in sentences: what it was, what it is, whether it fell, when it will have."""

from datetime import datetime
from zoneinfo import ZoneInfo

from tracker import phrases
from tracker.core.decline import LEAST_STOPS, stops
from tracker.core.reserve import Estimate
from tracker.core.segment import YEAR, Segment
from tracker.plots import dates
from tracker.words import say, written

ALL_BUT_SURE, PROBABLE, EVEN, HARDLY = 0.95, 0.7, 0.5, 0.1
LEAST_YEARS = 0.25
"""Nothing is said of a decline sooner after a service."""
VAGUE_YEARS = 8.0
"""A date known no better than this is not told; only before when it hardly comes."""


def share(threshold: float) -> str:
    """A part of the reserve, such as `10 %`."""
    return say("{n} %", n=written(100 * threshold, "g"))


def course(estimate: Estimate, segment: Segment, threshold: float, now: datetime, zone: ZoneInfo) -> str:
    """What a picture of it shows."""
    if too_soon(segment):
        return _too_soon(estimate, segment, now, zone)
    if stops(estimate) < LEAST_STOPS:
        return f"{then_and_now(estimate, segment, zone)} {_too_little()}"
    said = (
        then_and_now(estimate, segment, zone),
        one_of(estimate),
        fallen(estimate, threshold),
        dropped(estimate, segment, now, zone),
    )
    return " ".join(part for part in (*said, ahead(estimate, segment, threshold, now, zone)) if part)


def brief(estimate: Estimate, segment: Segment, threshold: float, now: datetime, zone: ZoneInfo) -> str:
    """The same as short as beside a small picture."""
    if too_soon(segment):
        return (
            say("Serviced too short a while ago to tell.") if segment.serviced else say("Its log is too short to tell.")
        )
    if stops(estimate) < LEAST_STOPS:
        return _too_little()
    said = (fallen(estimate, threshold), dropped(estimate, segment, now, zone))
    return " ".join(part for part in said if part)


def too_soon(segment: Segment) -> bool:
    """Whether its service, or the start of its log, is too short a while ago to say anything of a decline."""
    return segment.now_years < LEAST_YEARS


def can_tell(estimate: Estimate, segment: Segment) -> bool:
    """Whether there is enough behind it to speak of a decline."""
    return stops(estimate) >= LEAST_STOPS and not too_soon(segment)


def _too_little() -> str:
    return say("Too few stops were seen to tell of a decline.")


def one_of(estimate: Estimate) -> str:
    """That the band holds several reserves with next to nothing between them; empty where it holds one."""
    return say("It may be one of several within this range, so no middle is drawn.") if estimate.one_of_h else ""


def _too_soon(estimate: Estimate, segment: Segment, now: datetime, zone: ZoneInfo) -> str:
    lasts = phrases.span(estimate.reserve_h.low, estimate.reserve_h.high)
    began = phrases.day(segment.since or now, now, zone)
    if segment.serviced:
        return say(
            "An average run lasts {lasts}. It was serviced {day}: too soon to tell of a decline.",
            lasts=lasts,
            day=began,
        )
    return say(
        "An average run lasts {lasts}. Its log began {day}: too soon to tell of a decline.", lasts=lasts, day=began
    )


def then_and_now(estimate: Estimate, segment: Segment, zone: ZoneInfo) -> str:
    """The reserve at first and now, each as a range."""
    then, now = spans(estimate)
    if segment.since is None:
        return say("An average run lasts {now}.", now=now)
    if not segment.serviced:
        began = dates.month(segment.since, zone)
        return say(
            "When its log began in {month}, an average run lasted {then}; now {now}.", month=began, then=then, now=now
        )
    service = dates.month(segment.since, zone)
    return say(
        "Just after its service in {month} an average run lasted {then}; now {now}.", month=service, then=then, now=now
    )


def spans(estimate: Estimate) -> tuple[str, str]:
    """The ranges of an average run at first and now, in the same unit."""
    bands = (estimate.baseline_h, estimate.reserve_h)
    if all(each.low > phrases.DAYS_FROM_H for each in bands):
        then, now = (phrases.span(each.low, each.high) for each in bands)
    else:
        then, now = (phrases.span_in_hours(each.low, each.high) for each in bands)
    return then, now


def fallen(estimate: Estimate, threshold: float) -> str:
    """Whether it has fallen by the threshold."""
    chance, lost = estimate.fall_probability, share(threshold)
    if chance >= ALL_BUT_SURE:
        return say("It has all but surely lost {share} or more.", share=lost)
    if chance >= PROBABLE:
        return say(
            "It has probably lost {share} or more (a chance of {chance}).", share=lost, chance=phrases.chance(chance)
        )
    if chance >= HARDLY:
        return say("It may have lost {share} or more: a chance of {chance}.", share=lost, chance=phrases.chance(chance))
    return say("It has hardly lost {share} yet: a chance of {chance}.", share=lost, chance=phrases.chance(chance))


def dropped(estimate: Estimate, segment: Segment, now: datetime, zone: ZoneInfo) -> str:
    """A sudden drop, if one is believed, with the dates between which it came."""
    when = drop_between(estimate, segment)
    if when is None:
        return ""
    low, high = (phrases.day(moment, now, zone) for moment in when)
    if estimate.sudden_probability >= PROBABLE:
        return say("It dropped suddenly, probably between {low} and {high}.", low=low, high=high)
    return say("It may have dropped suddenly, between {low} and {high}.", low=low, high=high)


def drop_between(estimate: Estimate, segment: Segment) -> tuple[datetime, datetime] | None:
    """Between which moments it dropped (nine chances in ten), where a drop is likelier than none."""
    band = estimate.change_years
    if band is None or segment.since is None or estimate.sudden_probability < EVEN:
        return None
    return segment.since + band.low * YEAR, segment.since + band.high * YEAR


def ahead(estimate: Estimate, segment: Segment, threshold: float, now: datetime, zone: ZoneInfo) -> str:
    """When it will have fallen by the threshold; nothing where it probably has, or never will."""
    band, since = estimate.threshold_years, segment.since
    if band is None or since is None or estimate.fall_probability >= EVEN:
        return ""
    lost, low = share(threshold), since + band.low * YEAR
    if band.mid is None or band.high is None or band.high - band.low > VAGUE_YEARS:
        first = dates.month(low, zone)
        return say("{share} will hardly be lost before {month}.", share=lost, month=first) if low > now else ""
    return say(
        "If it goes on like this, {share} will be lost about {mid}, probably between {low} and {high}.",
        share=lost,
        mid=dates.month(since + band.mid * YEAR, zone),
        low=dates.month(max(low, now), zone),
        high=dates.month(since + band.high * YEAR, zone),
    )
