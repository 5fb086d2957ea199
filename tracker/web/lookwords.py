"""Looks in sentences: what one would tell, when it is offered, and why a run-down is asked for."""

from collections.abc import Sequence
from datetime import datetime
from zoneinfo import ZoneInfo

import numpy as np

from tracker import phrases
from tracker.core.offer import Offer, last_stop, may_stop, run_down_due
from tracker.core.telling import Looks
from tracker.core.watch import Watch
from tracker.figures import Figures
from tracker.words import say

NARROWING = (
    (0.2, "take away most of the doubt"),
    (0.29, "leave about a quarter of the doubt"),
    (0.42, "leave about a third of the doubt"),
    (0.58, "about halve the doubt"),
    (0.7, "take away about a third of the doubt"),
    (0.8, "take away about a quarter of the doubt"),
    (0.9, "take away little of the doubt"),
)
"""What a look does that is expected to leave at most this share of the doubt."""
LITTLE = 0.8
"""A look that leaves more than this share tells little."""


def narrowing(left: float) -> str:
    """What a look does that is expected to leave this share of the doubt, to follow "would"."""
    return say(next((words for most, words in NARROWING if left <= most), "tell next to nothing"))


def appointment(offer: Offer, now: datetime, zone: ZoneInfo) -> str:
    """Until when not to wind it, and to look at it then."""
    when = phrases.when(offer.at, now, zone)
    if now < offer.at:
        return say("Do not wind it before {when}; look at it then.", when=when)
    return say("Look at it now, before it is wound: its look was due {when}.", when=when)


def not_before(offer: Offer, now: datetime, zone: ZoneInfo) -> str:
    """The same in place of a wind-by."""
    when = phrases.when(offer.at, now, zone)
    return say("not before {when}", when=when) if now < offer.at else say("look at it first")


def purpose(offer: Offer) -> str:
    """What to do at the look that is offered, and what it would tell."""
    tells = say("This look would {narrow} about its reserve; then wind it.", narrow=narrowing(offer.left))
    if not offer.hands:
        return say("{tells} Set its hands right then: a stop is read off hands that were set.", tells=tells)
    return say("If it has stopped, read its hands before anything is touched. {tells}", tells=tells)


def run_down_asked(each: Figures, now: datetime) -> str:
    """Why this watch should run down once, where all that is noted of it is a lower bound; empty elsewhere."""
    if not run_down_due(each.watch, each.history, now):
        return ""
    counts = [run.spans_h[0][0] for run in (r.evidence for r in each.segment.runs) if run.kind == "at_least"]
    longest = phrases.length(max(counts, default=0.0), known_to_h=0.5)
    if last_stop(each.history) is None:
        since = say("Every winding since its service") if each.segment.serviced else say("Every winding so far")
        return say(
            "{since} broke off its run, so all that is known is that it lasts at least {longest}, and a "
            "decline would not be seen. Let it run down once every half year: do not wind it until it stands, then read "
            "its hands.",
            since=since,
            longest=longest,
        )
    return say(
        "It has not stopped for half a year, and every winding since broke off its run: a decline would not be seen. Let "
        "it run down once: do not wind it until it stands, then read its hands."
    )


def most_telling(each: Figures, looks: Looks) -> list[str]:
    """What would tell more: letting it run out, one look with its hands, one without."""
    if not may_stop(each.watch):
        return [say("No look that lets it stop is asked of this watch: {why}.", why=_why_not(each.watch))]
    if min(looks.run_out, *looks.with_hands, *looks.without_hands) > LITTLE:
        return [say("No one run will tell much more: it is known about as well as single runs can tell.")]
    hands_h, hands_left = _best(looks, looks.with_hands)
    blind_h, blind_left = _best(looks, looks.without_hands)
    run_out = say(
        "Most telling: let it run out, look at it morning and evening until it stands, then read its hands. That would "
        "{narrow}.",
        narrow=narrowing(looks.run_out),
    )
    length, narrow = phrases.length(hands_h), narrowing(hands_left)
    if narrow == narrowing(blind_left):
        said = "A single look about {length} after its wind would {narrow}, its hands read or not."
        return [run_out, say(said, length=length, narrow=narrow)]
    single = say(
        "A single look about {length} after its wind, the hands read if it stands, would {narrow}; without the hands the best "
        "look, after {blind}, would {blind_narrow}.",
        length=length,
        narrow=narrow,
        blind=phrases.length(blind_h),
        blind_narrow=narrowing(blind_left),
    )
    return [run_out, single]


def _why_not(watch: Watch) -> str:
    if watch.customers:
        return say("it is a customer’s")
    if watch.stake == "calendar":
        return say("a stop costs its calendar")
    return say("it is put away") if watch.archived_at else say("it is out of reach")


def _best(looks: Looks, shares: Sequence[float]) -> tuple[float, float]:
    """The hour of the best look, and what it leaves."""
    hours = np.linspace(looks.from_h, looks.to_h, len(shares))
    place = int(np.argmin(shares))
    return float(hours[place]), shares[place]
