"""What is known of a reserve, in sentences: the hours, where they come from, what is risked."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

from tracker import phrases
from tracker.core.evidence import only_a_lower_bound
from tracker.core.offer import may_stop
from tracker.core.peaks import Peak
from tracker.core.reserve import Band, Estimate
from tracker.core.rundown import RunDown
from tracker.core.segment import years_in_service
from tracker.core.watch import Watch
from tracker.core.windby import still_going
from tracker.figures import Figures
from tracker.words import say

STOPS = ("exact", "between", "one_of", "at_most")
"""Kinds of evidence that come from a stop."""
BOTH_SIDES = ("exact", "between", "one_of")
"""Those that bound the reserve from below and from above."""
FEW = 3
NOTABLE = 1.2
"""How much larger the risk since the wind must be than that of one wind-by to be worth saying."""
HOUR = timedelta(hours=1)
TOLD_APART = 2
"""More reserves than this are told by the whole that holds them: their own ranges reach beyond it."""


def stops(estimate: Estimate) -> int:
    """How many runs ended in a stop that tells something."""
    return sum(estimate.evidence.get(kind, 0) for kind in STOPS)


def little_seen(each: Figures) -> bool:
    """Whether the figures rest on the maker's more than on what was seen."""
    return stops(each.estimate) == 0 and each.estimate.evidence.get("at_least", 0) < FEW


def evidence(each: Figures) -> str:
    """Where the figures come from, such as `from 12 stops, 6 “at most” and 41 “at least”`: bounds are told apart."""
    seen = each.estimate.evidence
    stopped = sum(seen.get(kind, 0) for kind in BOTH_SIDES)
    counted = [_stops(stopped)] if stopped else []
    counted += [say("{n} “at most”", n=seen["at_most"])] if seen.get("at_most") else []
    counted += [say("{n} “at least”", n=seen["at_least"])] if seen.get("at_least") else []
    if counted:
        return say("from {counted}", counted=phrases.listed(counted))
    return say("nothing seen yet: {given}", given=given(each.watch))


def _stops(count: int) -> str:
    return say("1 stop") if count == 1 else say("{n} stops", n=count)


def given(watch: Watch) -> str:
    """The figure the estimate starts from."""
    if watch.stated_reserve_h is not None:
        return say("the maker's {length}", length=phrases.length(watch.stated_reserve_h, known_to_h=_tenth(watch)))
    if watch.reserve_class is not None:
        return say("a reserve of about {words}", words=say(watch.reserve_class))
    return say("a day or two, for no reserve is stated")


def _tenth(watch: Watch) -> float:
    return 0.5 if watch.stated_reserve_h is not None and watch.stated_reserve_h % 1 else 1.0


def doubt(each: Figures) -> str:
    """What is said below the first line where little has been seen; empty where enough has."""
    if not little_seen(each):
        return ""
    runs = len(each.segment.runs) + (each.history.current is not None)
    if runs == 0:
        return say("Nothing seen yet. Its figures are taken from {given}.", given=given(each.watch))
    seen = _runs(runs) if each.watch.by_rotor else _windings(runs)
    return say(
        "Too little seen yet: {seen}, no stop. Its figures are taken from {given}.", seen=seen, given=given(each.watch)
    )


def _windings(count: int) -> str:
    return say("one winding") if count == 1 else say("{n} windings", n=phrases.number(count))


def _runs(count: int) -> str:
    """Wear and winders begin runs, too."""
    return say("one run") if count == 1 else say("{n} runs", n=phrases.number(count))


def reserve_now(each: Figures) -> str:
    """The reserve at its present age; where it may be one of two, the likelier first, one of more, from end to end."""
    if len(each.estimate.one_of_h) > TOLD_APART:
        whole = each.estimate.reserve_h
        return say("{span}, one of several", span=phrases.span(whole.low, whole.high))
    return say(", or else ").join(reserves_now(each))


def reserves_now(each: Figures) -> list[str]:
    """The same one by one."""
    humps = sorted(each.estimate.one_of_h, key=lambda hump: -hump.share)
    return [band_said(hump.band) for hump in humps] or [band_said(each.estimate.reserve_h)]


def reserve_then(each: Figures, run: RunDown) -> Band:
    """The reserve at the age of a run, in hours: what the run is to be judged by."""
    track = each.estimate.history
    if track is None:
        return each.estimate.reserve_h
    return Band(*track.at(years_in_service(each.history, run.started_at)))


def band_said(band: Band) -> str:
    """Hours by their middle and their band, in the same unit."""
    known_to_h = (band.high - band.low) / 2
    in_days = band.low > phrases.DAYS_FROM_H
    middle = phrases.length(band.mid, known_to_h=known_to_h) if in_days else phrases.in_hours(band.mid, known_to_h)
    return say("about {middle} ({span})", middle=middle, span=phrases.span(band.low, band.high))


def baseline(each: Figures) -> str:
    """The reserve just after service, with its band; empty where no service is known."""
    if not each.segment.serviced:
        return ""
    band = each.estimate.baseline_h
    return (phrases.span_in_hours if in_hours(each) else phrases.span)(band.low, band.high)


def in_hours(each: Figures) -> bool:
    """Whether its present reserve is told in hours, so that what stands beside it is, too."""
    return each.estimate.reserve_h.low <= phrases.DAYS_FROM_H


def since(each: Figures, now: datetime, zone: ZoneInfo) -> str:
    """Where the figures come from, and since when it counts: a service begins anew."""
    if not each.segment.serviced or each.segment.since is None:
        return evidence(each)
    service = phrases.day(each.segment.since, now, zone)
    return say("{evidence}, since its service ({day})", evidence=evidence(each), day=service)


def one_sided(each: Figures) -> str:
    """What the evidence does not reach: from above where it never stopped, from below where it was never seen going."""
    counts = each.estimate.evidence
    if only_a_lower_bound(counts):
        return " ".join(
            [
                say("Only a lower bound is known: since its service it was never left to stop.")
                if each.segment.serviced
                else say("Only a lower bound is known: it was never left to stop."),
                *([say("One run-down would tell more than a year of winding.")] if may_stop(each.watch) else []),
            ]
        )
    if stops(each.estimate) and stops(each.estimate) == counts.get("at_most", 0) and not counts.get("at_least", 0):
        return say(
            "Nothing is known from below: it was never seen going before it stopped. One look in between would tell."
        )
    return _one_of(each)


def _one_of(each: Figures) -> str:
    """What is to be said where the runs fit several reserves; empty where they fit one.

    The look that would tell lies past the wind-by: it is named only where a stop may be asked for.
    """
    humps = each.estimate.one_of_h
    if not humps:
        return ""
    said = (
        say("What was seen fits several reserves and can't tell them apart.")
        if len(humps) > TOLD_APART
        else _one_of_two(humps)
    )
    if not may_stop(each.watch):
        return said
    return say("{said} {looks}", said=said, looks=_looks_between([hump.band for hump in humps]))


def _one_of_two(humps: Sequence[Peak]) -> str:
    return say(
        "Its runs fit more than one reserve (the first with a chance of {chance}): what was seen can't tell them apart.",
        chance=phrases.chance(max(hump.share for hump in humps)),
    )


def _looks_between(bands: Sequence[Band]) -> str:
    """The hours after a wind at which a look falls between the lengths."""
    hours = [
        phrases.in_hours((lower.high + higher.low) / 2, (higher.low - lower.high) / 4)
        for lower, higher in pairwise(bands)
    ]
    if len(hours) == 1:
        return say("One look {hours} after a full wind would.", hours=hours[0])
    return say("Looks {hours} after a full wind would.", hours=phrases.listed(hours))


def left_out(each: Figures) -> str:
    """How many runs tell nothing."""
    count = each.estimate.left_out
    return say("{n}, each with its reason below", n=count) if count else ""


def risk(each: Figures) -> str:
    """The chance accepted that the watch stops before its wind-by."""
    return say("one wind-by in {n} may come too late", n=round(1 / each.risk.p))


def bound(each: Figures) -> str:
    """What is to be said where the risk was brought to a bound."""
    if each.risk.at_floor:
        return say(
            "So rare a stop can't be promised by a wind-by alone: wind it in every round. All this takes a full wind for granted."
        )
    if each.risk.at_ceiling:
        return say("You accept more stops than that; no wind-by is set later than one in ten allows.")
    return say("All this takes a full wind for granted.")


def meant(each: Figures) -> str:
    """What the figures of the page mean, as far as it shows any."""
    said = [
        say("Its reserve now lies in one of these ranges with nine chances in ten.")
        if len(each.estimate.one_of_h) == TOLD_APART
        else say("Its reserve now lies in that range with nine chances in ten.")
    ]
    if each.standing.left_h is not None and each.standing.word != "stopped" and not each.kept_wound:
        said.append(say("One run in twenty outlasts the hours left."))
    return " ".join(said)


def sum_since_wind(each: Figures) -> str:
    """The risk of all wind-bys of this run together, where sightings have moved them on; empty elsewhere."""
    run, by = each.run, each.standing.wind_by
    if run is None or by is None or run.seen_going_h == 0:
        return ""
    share = 1 - still_going(each.curve, (by - run.started_at) / HOUR)
    return say("{share} stops before this wind-by", share=_one_run_in(share)) if share > each.risk.p * NOTABLE else ""


def _one_run_in(share: float) -> str:
    if share > 0.5:  # noqa: PLR2004 -- more often than not
        return say("more than every second run")
    return say("one run in {n}", n=phrases.number(round(1 / share)))


def stated(watch: Watch, *, hours: bool = False) -> str:
    """The maker's figure (in `hours`, however long), or the class, or that there is neither."""
    if watch.stated_reserve_h is not None and hours:
        return phrases.in_hours(watch.stated_reserve_h, _tenth(watch))
    if watch.stated_reserve_h is not None:
        return phrases.length(watch.stated_reserve_h, known_to_h=_tenth(watch))
    return say("no figure; about {words}", words=say(watch.reserve_class)) if watch.reserve_class else say("not known")
