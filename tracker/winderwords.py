"""What is said of a winder: turns a day, and what is found of them."""

from datetime import datetime
from zoneinfo import ZoneInfo

from tracker import phrases
from tracker.core.winderfinding import Rate
from tracker.reminders.winderfacts import WinderFacts
from tracker.words import say


def title(facts: WinderFacts) -> str:
    """What stands first."""
    titles = {
        "no turns": "{nickname}: its winder stands still",
        "not heard": "{nickname}: nothing is heard of its winder",
        "too few turns": "{nickname}: too few turns on its winder",
        "enough turns, yet stopped": "{nickname}: stopped on its winder",
    }
    return say(titles[facts.word], nickname=facts.nickname)


def text(facts: WinderFacts, now: datetime, zone: ZoneInfo) -> str:
    """What was found, and what follows from it."""
    told = {"nickname": facts.nickname, "since": phrases.when(facts.since, now, zone), "needs": needs(facts)}
    if facts.word == "no turns":
        sentence = say("The winder of {nickname} has made no turn since {since}.", **told)
        return f"{sentence} {_stops(facts, now, zone)}".strip()
    if facts.word == "not heard":
        sentence = say(
            "The winder of {nickname} was last heard {since}. It may be switched off, or only its sensor.", **told
        )
        return f"{sentence} {_stops(facts, now, zone)}".strip()
    told["turns"] = turns(facts.a_day or 0.0)
    if facts.word == "too few turns":
        sentence = say("{nickname} gets {turns} a day; {needs}.", **told)
        return f"{sentence} {_stops(facts, now, zone)}".strip()
    return say(
        "{nickname} stopped {since} on its winder, though it got {turns} a day; {needs}. The automatic work or the bridle "
        "may be the cause: ask a watchmaker to look at them.",
        **told,
    )


def lately(rate: Rate) -> str:
    """The turns it got a day in the last three days, by direction where that is known."""
    ways = [(rate.clockwise, say("clockwise")), (rate.anticlockwise, say("anticlockwise"))]
    told = [say("{n} {way}", n=round(count), way=way) for count, way in ways if count >= 1.0]
    if told and rate.not_known >= 1.0:
        told.append(say("{n} in a direction not known", n=round(rate.not_known)))
    total = turns(rate.turns)
    if not told:
        return say("On its winder: {turns} a day of late.", turns=total)
    return say("On its winder: {turns} a day of late, {ways}.", turns=total, ways=phrases.listed(told))


def turns(count: float) -> str:
    """A number of turns, such as `740 turns`."""
    return say("1 turn") if round(count) == 1 else say("{n} turns", n=round(count))


def needs(facts: WinderFacts) -> str:
    """What it needs, and whose figure that is."""
    told = {"n": round(facts.needs_a_day), "way": say(facts.way)}
    if facts.whose == "usual" and facts.way == "both":
        return say("650 to 800 a day is usual (common practice, no source)")
    if facts.whose == "usual":
        return say("only {way} winds it, and 650 to 800 a day is usual (common practice, no source)", **told)
    if facts.way == "both":
        return say("by your figure it needs {n}", **told)
    return say("by your figure it needs {n} {way}", **told)


def _stops(facts: WinderFacts, now: datetime, zone: ZoneInfo) -> str:
    if facts.stops_at is None:
        return ""
    when = phrases.when(facts.stops_at, now, zone)
    return say("It stops at about {when} if nothing changes.", when=when) if facts.stops_at > now else ""
