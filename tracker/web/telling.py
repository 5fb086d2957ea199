"""How is this watch? Its state and what is left, in sentences."""

from datetime import datetime
from zoneinfo import ZoneInfo

from tracker import phrases
from tracker.core.offer import Offer
from tracker.figures import Figures
from tracker.web import lookwords
from tracker.words import say

EVEN_CHANCE = 0.5
NEAR_EVEN = 2 / 3
"""A state less likely than this is not put into anybody's mouth."""


def likely_stopped(each: Figures) -> bool:
    """Whether it would rather be found stopped than going."""
    doubtful = each.standing.word == "may have stopped"
    return each.standing.word == "stopped" or (doubtful and each.standing.chance_going < EVEN_CHANCE)


def going_first(each: Figures) -> bool | None:
    """Whether it would rather be found going than stopped; None where that is nearly a toss."""
    chance = each.standing.chance_going
    return None if 1.0 - NEAR_EVEN < chance < NEAR_EVEN else chance > EVEN_CHANCE


def left(each: Figures) -> str:
    """Hours left, such as `19 to 27 h`; empty where there are none to tell."""
    band = each.standing.left_h
    if band is None or each.standing.word not in {"going", "going, probably"}:
        return ""
    return phrases.span(max(band.low, 0.0), max(band.high, 0.0))


def state(each: Figures) -> str:
    """The state of a watch in a few words; only a watch that is kept going asks to be looked at."""
    word = say("not known") if each.standing.word == "unknown" else say(each.standing.word)
    if each.test is not None:
        return say("{state}: under a run-down test", state=word)
    if each.offer is not None:
        return say("{state}: left to run for a look", state=word)
    moved = each.history.on_wrist or each.history.on_winder
    return say("{state}: look at it", state=word) if each.standing.look and each.watch.kept and not moved else word


def wind_by(each: Figures) -> datetime | None:
    """By when to wind it; nothing for one that has stopped already, or is left to run: for a look, or in a test."""
    left_to_run = each.offer is not None or each.test is not None
    return None if each.standing.word == "stopped" or left_to_run else each.standing.wind_by


def first_line(each: Figures, now: datetime, zone: ZoneInfo) -> str:
    """How is this one? In a sentence or two."""
    by, word = each.standing.wind_by, each.standing.word
    if each.test is not None or each.offer is not None:
        return _left_to_run(each, now, zone)
    if each.standing.look:
        return _unmeasured(each)
    if word == "stopped" or by is None:
        return _kept_wound(each) if each.kept_wound else _stopped(each, now, zone)
    if word == "may have stopped":
        return say(
            "May have stopped: its wind-by was {when}. It still goes with a chance of {n} %.",
            when=phrases.when(by, now, zone),
            n=round(100 * each.standing.chance_going),
        )
    if by <= now:
        return say(
            "{state}. Wind it now: its wind-by was {when}.",
            state=phrases.capital(say(word)),
            when=phrases.when(by, now, zone),
        )
    return say(
        "{state}, {left} left. Wind by {when}.",
        state=phrases.capital(say(word)),
        left=left(each),
        when=phrases.when(by, now, zone),
    )


def _left_to_run(each: Figures, now: datetime, zone: ZoneInfo) -> str:
    return _to_be_looked_at(each, each.offer, now, zone) if each.offer is not None else _under_test(each)


def _under_test(each: Figures) -> str:
    """It is to run down: nobody winds it until it stands."""
    state = phrases.capital(say(each.standing.word))
    if each.standing.word == "stopped":
        return say("{state}. Its run-down test is to be ended before it is wound.", state=state)
    if not left(each):
        return say("{state}, under a run-down test. Do not wind it until it stands.", state=state)
    return say(
        "{state}, {left} left, under a run-down test. Do not wind it until it stands.", state=state, left=left(each)
    )


def _kept_wound(each: Figures) -> str:
    """Worn, or on a winder that keeps it going: nothing is to be wound."""
    going = phrases.capital(say(each.standing.word))
    if not each.history.on_wrist:
        return say("{state}, on a winder that keeps it going.", state=going)
    return say("{state}, on the wrist. Laid down now it would go on for {left}.", state=going, left=left(each))


def _to_be_looked_at(each: Figures, offer: Offer, now: datetime, zone: ZoneInfo) -> str:
    asked = lookwords.appointment(offer, now, zone)
    if now >= offer.at:
        return asked
    if not left(each):
        return say("{state}. {asked}", state=phrases.capital(say(each.standing.word)), asked=asked)
    return say(
        "{state}, {left} left. {asked}", state=phrases.capital(say(each.standing.word)), left=left(each), asked=asked
    )


def _unmeasured(each: Figures) -> str:
    why = why_unmeasured(each)
    if each.watch.kept:
        return say("{state}; {why}.", state=phrases.capital(state(each)), why=why)
    if each.standing.word == "unknown":
        return say("Not known whether it goes: {why}.", why=why)
    return say("Going, probably; nobody knows for how long: {why}.", why=why)


def why_unmeasured(each: Figures) -> str:
    """Why nothing is known of how long it will go."""
    run = each.history.current
    if run is None:
        return _no_run(each)
    if each.history.on_winder:
        return say("nobody knows whether its winder makes turns enough")
    if run.started_by == "winder":
        return say("how far its winder wound it is not known")
    if run.started_by == "wear" or (run.amount == "full" and not run.counts_as_full):
        return say("how far wearing has wound it is not known")
    return say("it was wound in part only") if run.amount == "part" else say("how far it was wound is not sure")


def shortened(each: Figures) -> str:
    """That the present run may end before its figures say; empty where nothing else has used its spring."""
    run = each.history.current
    if run is None or not run.side_spring_used or each.standing.word == "stopped":
        return ""
    return say("The chronograph ran or the alarm rang since it was wound: it may stop sooner than that.")


def _no_run(each: Figures) -> str:
    """Going after a stop without a winding it was lifted or nudged: how far it is wound nobody knows, and nobody asks."""
    ended_by = each.history.runs[-1].ended_by if each.history.runs else None
    if each.history.last.state == "going" and ended_by in {"found stopped", "stop heard"}:
        return say("it had stopped, and goes again without a winding that was noted")
    return say("when it was last wound is not noted")


def _stopped(each: Figures, now: datetime, zone: ZoneInfo) -> str:
    last = each.history.last
    if last.state == "stopped" and last.since is not None:
        when = phrases.when(last.since, now, zone)
        if last.heard_run is not None:
            return say("Stopped {when}, by its sensor.", when=when)
        return say("Stopped: seen so {when}.", when=when)
    return say("Stopped: it was wound too long ago to be going.")
