"""When the next service of a watch is due, and by what, in words."""

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from tracker import phrases, servicewords
from tracker.core.decline import Finding
from tracker.core.nextdue import Due, next_due
from tracker.core.watch import Watch
from tracker.words import say, written

BY_RESERVE = ("evidence", "least")


@dataclass(frozen=True, slots=True)
class About:
    """Of what it is said, and when: a watch, what is found of it, and the share of a reserve that counts as a loss."""

    watch: Watch
    found: Finding
    threshold: float
    now: datetime
    zone: ZoneInfo


def said(about: About) -> str:
    """What comes first and why, and what may come before it; empty where nothing tells a date."""
    due = next_due(about.found)
    if due.first is None:
        return ""
    first = _sentence(due.first, about)
    if due.first.by in BY_RESERVE:
        rules = [each for each in (*due.sooner, *due.later) if each.by not in BY_RESERVE]
        if not rules:
            return say("By its reserve: {forecast}", forecast=_within(first))
        told = [say("Its reserve comes first. {forecast}", forecast=first), *(_sentence(each, about) for each in rules)]
    else:
        told = [first, *(_perhaps(_sentence(each, about)) for each in due.sooner)]
    return " ".join(told)


def _perhaps(forecast: str) -> str:
    return say("Its reserve may come first: {forecast}", forecast=_within(forecast))


def _within(sentence: str) -> str:
    """A sentence as the second half of another."""
    return sentence[:1].lower() + sentence[1:]


def _sentence(each: Due, about: About) -> str:
    found, now, zone = about.found, about.now, about.zone
    if each.by == "evidence":
        return servicewords.forecast(found.reached, about.threshold, now, zone)
    if each.by == "least":
        return servicewords.forecast_least(found.least, about.watch.least_reserve_h or 0.0, now, zone)
    past = each.low <= now
    if each.by == "own day":
        sentence = "The day you chose for its service, {day}, has come." if past else "You want it serviced on {day}."
        return say(sentence, day=_day(each, zone))
    years = written(found.rule.interval_years or 0.0, "g")
    return say(_AGE[each.by == "own age", past], years=years, month=servicewords.month_of(each.low, zone))


def _day(each: Due, zone: ZoneInfo) -> str:
    return phrases.date_of(each.low.astimezone(zone).date())


_AGE = {
    # whether for this watch alone, whether past
    (False, False): "By your rule of {years} years its next service is due in {month}.",
    (
        False,
        True,
    ): "By your rule of {years} years its service has been due since {month}; that is its age, not its reserve.",
    (True, False): "By your rule for it, {years} years, its next service is due in {month}.",
    (
        True,
        True,
    ): "By your rule for it, {years} years, its service has been due since {month}; that is its age, not its reserve.",
}


def nothing_tells(found: Finding) -> str:
    """Why no date can be told."""
    if found.rule.interval_years is not None and not found.serviced:
        years = written(found.rule.interval_years, "g")
        return say("Your rule of {years} years counts from its last service, and none is noted.", years=years)
    if found.evidence != "enough":
        return say(
            "Nothing tells yet when its next service is due: no rule of yours, and too little seen of its reserve."
        )
    return say("Nothing tells when its next service is due: no rule of yours, and no loss of its reserve in sight.")


def short(found: Finding, now: datetime, zone: ZoneInfo) -> str:
    """What comes first, for a table, such as `Jun 2029, by age`; empty where nothing tells."""
    first = next_due(found).first
    if first is None:
        return ""
    if first.by == "evidence":
        # Its band stands in the column beside it.
        when = servicewords.forecast_middle(found.reached, zone)
        return (
            say("about {when}, by its reserve", when=when)
            if first.high
            else say("perhaps {when}, by its reserve", when=when)
        )
    if first.by == "least":
        return say("{when}, by its reserve", when=servicewords.forecast_short(found.least, now, zone))
    if first.by == "own day":
        return say("{day}, your day", day=_day(first, zone))
    return say("{month}, by age", month=servicewords.month_of(first.low, zone))
