"""What the Round page says, in sentences."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from tracker import phrases
from tracker.core.logwalk import State
from tracker.figures import Figures, Waiting
from tracker.reminders.shown import Shown
from tracker.web import cautions, lookwords, pending, telling
from tracker.web.roundview import Parts, to_look_at
from tracker.words import say

PAIR = 2
NOON = 12
CALLED = 3
"""How many last calls are named in one line."""

LAST: dict[State, str] = {
    "going": "seen going {when}",
    "stopped": "stopped since {when}",
    "unknown": "nothing known since {when}",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One watch that wants something: `want` is what, in the accent; `why` the rest of the line; `cautions` below it.

    `going_first` tells which of the two buttons is the likelier, None where neither is by much; `setting` is the caution for
    whoever sets its date.
    """

    uid: str
    nickname: str
    want: str
    why: str
    cautions: list[str]
    going_first: bool | None
    date_window: bool
    setting: str
    in_sitting: bool


@dataclass(frozen=True, slots=True)
class Sitting:
    """The button for the whole sitting: what it says and the act it stands for."""

    label: str
    act: str


def first_line(parts: Parts, now: datetime, zone: ZoneInfo, *, to_come: int = 0) -> str:
    """What do I wind now? In one sentence; of `to_come` watches that are kept going it is still being worked out."""
    wanted = _wanted(parts, now, zone)
    if to_come:
        said = say("{wanted} so far; {n} still being worked out.", wanted=wanted, n=phrases.number(to_come))
        return phrases.capital(said) if wanted else say("What to wind now is being worked out.")
    if wanted:
        later = _later(parts, parts.later, now, zone) if parts.later else ""
        return phrases.capital(say("{wanted}; {later}.", wanted=wanted, later=later) if later else f"{wanted}.")
    if parts.later:
        return say("Nothing to wind before {when}.", when=phrases.when(parts.later, now, zone))
    return say("Nothing to wind now.") if parts.kept else say("Nothing to wind: no watch is one to keep going.")


def _later(parts: Parts, later: datetime, now: datetime, zone: ZoneInfo) -> str:
    when = phrases.when(later, now, zone)
    if parts.sooner:
        return say("of those you keep going, no other before {when}", when=when)
    return say("nothing else before {when}", when=when)


def last_call(due: Sequence[Shown], now: datetime, zone: ZoneInfo) -> str:
    """The reminders that are due and in time, as one line; those too late speak through the state of their rows."""
    calls = [
        say("{nickname} by {when}", nickname=each.nickname, when=phrases.when_and_distance(each.wind_by, now, zone))
        for each in due
        if not each.late
    ]
    more = [say("{n} more below", n=phrases.number(len(calls) - CALLED))] if len(calls) > CALLED else []
    return say("Last call: {watches}.", watches="; ".join(calls[:CALLED] + more)) if calls else ""


def _wanted(parts: Parts, now: datetime, zone: ZoneInfo) -> str:
    look, wind = len(parts.to_look_at), len(parts.to_wind)
    sooner = _not_waiting(parts, now)
    said = [say("{n} to wind{at}", n=phrases.number(wind), at=_at(parts.at, now, zone))] if wind else []
    said += (
        [say("{n} of them sooner", n=phrases.number(sooner)) if wind > 1 else say("better sooner")] if sooner else []
    )
    said += [say("{n} to look at", n=phrases.number(look))] if look else []
    return say(" and ").join(said) if len(said) == PAIR and not sooner else ", ".join(said)


def _at(at: datetime | None, now: datetime, zone: ZoneInfo) -> str:
    """When the round is, as one says it; nothing where it is held now."""
    if at is None or at <= now:
        return ""
    local = at.astimezone(zone)
    if local.date() == now.astimezone(zone).date() and local.hour < NOON:
        return say(" this morning")
    return say(" {when}", when=phrases.when(at, now, zone))


def _not_waiting(parts: Parts, now: datetime) -> int:
    """How many of those to wind have a wind-by before the round to come."""
    if parts.at is None or parts.at <= now:
        return 0
    by = [each.standing.wind_by for each in parts.to_wind if each.standing.word != "stopped"]
    return len([each for each in by if each is not None and each < parts.at])


def sitting(parts: Parts) -> Sitting | None:
    """One button for all that are in the same state; none where a row's own button does as well.

    What is doubtful is left to its own row, for one tap must not note what nobody has seen; so is what has stopped while
    others go: each is worth a look at its hands.
    """
    going, wind = len(parts.surely_going), len(parts.to_wind)
    if len(parts.sitting) < PAIR:
        return None
    if going == 0:
        label = (
            say("Both wound, both had stopped")
            if wind == PAIR
            else say("All {n} wound, all had stopped", n=phrases.number(wind))
        )
        return Sitting(label, "wound-stopped")
    if going < wind:
        return Sitting(say("The {n} surely still going: wound, all were going", n=phrases.number(going)), "wound-going")
    label = (
        say("Both wound, both were going")
        if wind == PAIR
        else say("All {n} wound, all were going", n=phrases.number(wind))
    )
    return Sitting(label, "wound-going")


def row(each: Figures, parts: Parts, now: datetime, zone: ZoneInfo) -> Row:
    """One row of the round."""
    return Row(
        uid=each.watch.uid,
        nickname=each.watch.nickname,
        want=_want(each, now, zone),
        why="; ".join(_why(each, now, zone)),
        cautions=cautions.at_winding(each.watch),
        going_first=None if to_look_at(each) else telling.going_first(each),
        date_window=each.watch.date_window,
        setting=cautions.at_setting(each.watch),
        in_sitting=each.watch.uid in parts.in_sitting,
    )


def _want(each: Figures, now: datetime, zone: ZoneInfo) -> str:
    by = each.standing.wind_by
    if each.offer is not None:
        return say("look at it before it is wound; if it has stopped, read its hands")
    if each.standing.word == "stopped":
        return say("stopped")
    if by is None:
        return telling.state(each)
    if by <= now and each.standing.word != "may have stopped":
        return say("{state}; wind it now", state=say(each.standing.word))
    if by <= now:
        return say("may have stopped; wind-by was {when}", when=phrases.when(by, now, zone))
    return say("by {time} {day}", time=phrases.clock_time(by, zone), day=phrases.day(by, now, zone))


def _why(each: Figures, now: datetime, zone: ZoneInfo) -> list[str]:
    said = [last_known(each, now, zone)]
    if each.standing.look and each.history.last.since is not None:
        said.append(telling.why_unmeasured(each))
    if each.standing.word == "may have stopped":
        said.append(say("still going with a chance of {chance}", chance=phrases.chance(each.standing.chance_going)))
    elif each.standing.left_h is not None and each.standing.word != "stopped":
        left = say("{span} left", span=phrases.span(each.standing.left_h.low, each.standing.left_h.high))
        said.append(say("little known yet, {left}", left=left) if _little_known(each) else left)
    if each.behind:
        said.append(pending.anew())
    return [part for part in said if part]


def last_known(each: Figures | Waiting, now: datetime, zone: ZoneInfo) -> str:
    """When the watch was last seen or wound."""
    run, last = each.history.current, each.history.last
    if run is not None and run.started_by == "winder" and run.last_seen_at is None:
        off = say("off its winder since {when}", when=phrases.when(run.started_at, now, zone))
        on = say("on its winder since {when}", when=phrases.when(run.started_at, now, zone))
        return on if each.history.on_winder else off
    if run is not None and run.started_by == "wear" and run.last_seen_at is None:
        return say("last worn {when}", when=phrases.when(run.started_at, now, zone))
    if run is not None and run.last_seen_at is None:
        return say("wound {when}", when=phrases.when(run.started_at, now, zone))
    heard = last.state == "going" and last.by_sensor
    at = run.last_seen_at if run is not None and not heard else last.since
    if at is None:
        return say("nothing noted yet")
    if heard:
        return say("heard going {when}", when=phrases.when(at, now, zone))
    return say(LAST[last.state], when=phrases.when(at, now, zone))


def _little_known(each: Figures, least: int = 3) -> bool:
    return sum(each.estimate.evidence.values()) < least


def doubtful(each: Figures, now: datetime, zone: ZoneInfo) -> str:
    """Since when a watch may have stopped that nobody keeps going."""
    by = each.standing.wind_by
    return say("since {when}", when=phrases.when(by, now, zone)) if by is not None else last_known(each, now, zone)


def left_to_run(each: Figures, now: datetime, zone: ZoneInfo) -> str:
    """Until when a watch is left to run, for a look that tells much."""
    return lookwords.appointment(each.offer, now, zone) if each.offer is not None else ""


def at_rest(parts: Parts) -> str:
    """How many watches are left out of the page."""
    said = [say("Stopped: {n}.", n=phrases.number(parts.stopped))] if parts.stopped else []
    said += [say("Not known: {n}.", n=phrases.number(parts.unknown))] if parts.unknown else []
    return " ".join(said)
