"""Run-downs in words: what each one tells, its censoring kept, and how it ended."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from tracker import phrases
from tracker.core.evidence import Evidence
from tracker.core.heldback import Held
from tracker.core.rundown import RunDown
from tracker.core.timeline import Flaw
from tracker.words import say, written

SHOWN_AT_FIRST = 12
MOMENTS_SAID = 2

LEFT_OUT = {
    "not seen going": "it was not seen going again",
    "not heard on": "it may have been wound while its sensor said nothing of it",
    "part wind": "it was wound in part only",
    "unsure wind": "how far it was wound is not known",
    "worn": "wearing or its winder winds it",
    "side spring": "the chronograph ran or the alarm rang, and it was not seen going again",
    "at once": "it stood again as soon as it was wound",
}
"""Why a run tells nothing."""

ENDED = {
    "found stopped": "found stopped {when}",
    "stop heard": "stopped before {when}, by its sensor",
    "rewound going": "wound {when} while it was going",
    "rewound, not noticed": "wound {when}; nobody noted whether it was going",
    "part wind": "wound on in part {when}",
    "stopped on purpose": "stopped on purpose {when}",
    "service": "went to service before {when}",
    "worn": "put on {when}",
    "on a winder": "put on its winder, or taken off it, {when}",
}
"""How a run ended."""

STOPPED = ("found stopped", "stop heard")
"""Ends that are stops; of others only the indicator tells how long the run would have lasted."""

FLAW = {
    "already wound": "{entry}: it had just been wound, so it had hardly stopped; the two windings count as one.",
    "hands fit no moment": "{entry}: the hands fit no moment of its run; they were left out of account.",
    "date fits no moment": "{entry}: the date fits no moment that the hands leave; it was left out of account.",
    "hands read differently": "{entry}: the hands read differently from before; this reading was left out of account.",
}
"""What is wrong with a note."""


@dataclass(frozen=True, slots=True)
class Shortened:
    """The runs to show, newest first, and how many there are in all."""

    rows: list[RunDown]
    count: int


def shortened(runs: Sequence[RunDown], *, everything: bool) -> Shortened:
    """The newest runs, or all of them."""
    return Shortened(list(reversed(runs))[: None if everything else SHOWN_AT_FIRST], len(runs))


SOON_H = 2.0
"""A stop not known to be later than this after the winding is told by its far end alone."""


def told(run: RunDown, near_h: float) -> str:
    """What the run tells of the hours from full wind to stop, for a watch whose reserve is about `near_h`."""
    if run.reason is not None:
        return say("left out: {why}", why=say(LEFT_OUT[run.reason]))
    told = hours(run.evidence, near_h)
    if run.evidence.kind == "between" and run.ended_by not in STOPPED:
        return say("{told} by its indicator", told=told)
    if not run.heard_on:
        return say("{told}: it may have been wound while its sensor said nothing of it", told=told)
    return say("{told}: the chronograph ran or the alarm rang", told=told) if run.side_spring_used else told


def hours(evidence: Evidence, near_h: float) -> str:
    """Evidence in words, such as `at least 26 h`; of the moments that hands allow, the one nearest to `near_h` first."""
    low_h, high_h = evidence.spans_h[0]
    if evidence.kind == "at_least":
        return say("at least {length}", length=_length(low_h, near_h))
    if evidence.kind == "at_most" or (evidence.kind == "between" and low_h < SOON_H):
        return say("at most {length}", length=_length(high_h, near_h))
    if evidence.kind == "one_of":
        return say("{moments} by the hands", moments=_moments(evidence, near_h))
    if evidence.kind == "exact" or high_h - low_h < 1:
        return _middle((low_h, high_h), near_h)
    return _between(low_h, high_h, near_h)


def _length(length_h: float, near_h: float, known_to_h: float = 1.0) -> str:
    """A length in the unit of the watch's own reserve, so that one table has one unit."""
    if near_h > phrases.DAYS_FROM_H:
        return say("{n} days", n=written(length_h / phrases.A_DAY_H, ".1f"))
    return phrases.in_hours(length_h, known_to_h)


def _moments(evidence: Evidence, near_h: float) -> str:
    nearest = sorted(evidence.spans_h, key=lambda span: abs(math.fsum(span) / 2 - near_h))
    said = [_middle(span, near_h) for span in nearest[:MOMENTS_SAID]]
    others = len(nearest) - len(said)
    if others:
        said.append(say("one other") if others == 1 else say("{n} others", n=phrases.number(others)))
    return say(" or ").join(said)


def _middle(span: tuple[float, float], near_h: float) -> str:
    return _length(math.fsum(span) / 2, near_h, (span[1] - span[0]) / 2)


def _between(low_h: float, high_h: float, near_h: float) -> str:
    if near_h > phrases.DAYS_FROM_H:
        low, high = low_h / phrases.A_DAY_H, high_h / phrases.A_DAY_H
        return say("between {low} and {high} days", low=written(low, ".1f"), high=written(high, ".1f"))
    return say("between {low} and {high} h", low=written(low_h, ".0f"), high=written(high_h, ".0f"))


def held(run: Held) -> str:
    """The question about a run that is too long to be believed."""
    return say(
        "It seems to have gone for {length}, longer than it is known to. Such a run is often a winding that was not noted, "
        "so it is left out for now. Was it wound in between?",
        length=phrases.in_hours(run.hours, 1.0),
    )


def ended(run: RunDown, now: datetime, zone: ZoneInfo) -> str:
    """How the run ended, and when."""
    if run.heard_until is not None:
        return _stop_heard(run.heard_until, run.ended_at, now, zone)
    return say(ENDED[run.ended_by], when=phrases.when(run.ended_at, now, zone))


def _stop_heard(after: datetime, before: datetime, now: datetime, zone: ZoneInfo) -> str:
    """A stop told by a sensor; the day once where both moments are of one."""
    start, end = phrases.when(after, now, zone), phrases.clock_time(before, zone)
    if after.astimezone(zone).date() != before.astimezone(zone).date():
        end = phrases.when(before, now, zone)
    return say("stopped between {start} and {end}, by its sensor", start=start, end=end)


def begun(run: RunDown, now: datetime, zone: ZoneInfo) -> str:
    """When the run began."""
    return phrases.when(run.started_at, now, zone)


def flaws(found: Sequence[Flaw], entries: Mapping[str, str]) -> list[str]:
    """What is wrong with notes, each named by what `entries` calls it (by uid)."""
    return [say(FLAW[word], entry=entries.get(uid, say("An entry"))) for uid, word in found]
