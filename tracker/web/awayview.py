"""What the page While away says: one sentence, what to do before leaving, how each watch will be found."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from tracker import phrases
from tracker.core.away import Outlook
from tracker.core.watch import Watch
from tracker.planning import PLANNED
from tracker.staying import Absence, Stay
from tracker.web import cautions
from tracker.words import say

WOUND = ("wind", "wind for its calendar", "visits")
"""What is to be wound before leaving."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A watch with what is said of it, a piece each, and what to mind."""

    uid: str
    nickname: str
    said: Sequence[str]
    cautions: Sequence[str] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """A visit of the printed sheet: when, and each watch with how it is wound."""

    when: str
    lines: Sequence[Line]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """The parts of the page, each in the order shown."""

    head: str
    last_round: str
    to_wind: Sequence[Line]
    found: Sequence[Line]
    left: Sequence[Line]
    setting: Sequence[str]
    visits: Sequence[Visit]


def shown(absence: Absence, now: datetime, zone: ZoneInfo) -> Shown:
    """An absence in words."""
    known = [stay for stay in absence.stays if stay.found is not None]
    settings = dict.fromkeys(cautions.at_setting(stay.watch) for stay in known if stay.date_steps or stay.behind_days)
    return Shown(
        head=_head(absence, now, zone),
        last_round=_last_round(absence, now, zone),
        to_wind=[
            _line(stay, _before(stay, now, zone), cautions.at_winding(stay.watch))
            for stay in absence.stays
            if stay.advice in WOUND
        ],
        found=[_line(stay, _at_return(stay, now, zone)) for stay in sorted(known, key=_by_stop)],
        left=[_line(stay, [_left(stay)]) for stay in absence.stays if stay.found is None],
        setting=[said for said in settings if said],
        visits=list(_visits(absence, now, zone)),
    )


def _line(stay: Stay, said: Sequence[str], minded: Sequence[str] = ()) -> Line:
    return Line(uid=stay.watch.uid, nickname=stay.watch.nickname, said=said, cautions=minded)


def _by_stop(stay: Stay) -> tuple[float, str]:
    return (stay.found.stops_from.timestamp() if stay.found else 0.0), stay.watch.nickname.casefold()


def _head(absence: Absence, now: datetime, zone: ZoneInfo) -> str:
    stopping = [stay for stay in absence.stays if stay.found is not None and stay.found.settled() is not True]
    surely = [stay for stay in stopping if stay.found is not None and stay.found.settled() is False]
    calendars = [stay for stay in stopping if stay.watch.stake != "time only"]
    said = say(
        "Leave {leave}, back {back}:",
        leave=phrases.when(absence.leave, now, zone),
        back=phrases.when(absence.back, now, zone),
    )
    if not stopping:
        return say("{said} nothing stops that goes now.", said=said)
    count = phrases.number(len(stopping))
    told = (
        say("{said} {n} will stop", said=said, n=count)
        if len(surely) == len(stopping)
        else say("{said} {n} will stop or may", said=said, n=count)
    )
    if calendars:
        return say("{told}, {n} of them with a date or calendar.", told=told, n=phrases.number(len(calendars)))
    return say("{told}.", told=told)


def _last_round(absence: Absence, now: datetime, zone: ZoneInfo) -> str:
    when = phrases.when(absence.last_round, now, zone)
    return say("a round of its own, {when}", when=when) if absence.added else say("the last round, {when}", when=when)


def _before(stay: Stay, now: datetime, zone: ZoneInfo) -> list[str]:
    found = stay.found
    if found is None:
        return []
    if stay.advice == "visits":
        why = say("it is wound again while you are away")
    elif stay.advice == "wind":
        why = say("then safe until {when}", when=phrases.when(found.safe_until, now, zone))
    else:
        why = say("it stops all the same, but fewer days are to be set")
    return [why]


def _at_return(stay: Stay, now: datetime, zone: ZoneInfo) -> list[str]:
    found = stay.found
    if found is None:
        return []
    if stay.advice == "let stop" and stay.watch.habit in PLANNED:
        latest = phrases.when(found.stops_to, now, zone)
        return [say("stops before you are back, wound or not: by {when} at the latest", when=latest), *_steps(stay)]
    said = [_going(found), say("safe until {when}", when=phrases.when(found.safe_until, now, zone))]
    if found.settled() is not True:
        between = (phrases.when(moment, now, zone) for moment in (found.stops_from, found.stops_to))
        said.append(say("stops between {low} and {high}", low=next(between), high=next(between)))
    return said + _steps(stay)


def _going(found: Outlook) -> str:
    settled = found.settled()
    if settled is None:
        return say("going at your return with a chance of {chance}", chance=phrases.chance(found.going_at_return))
    return say("going at your return") if settled else say("will have stopped")


def _steps(stay: Stay) -> list[str]:
    said = []
    if stay.watch.stake == "calendar" and stay.behind_days is not None:
        fewest, most = stay.behind_days
        days = _or(range(fewest, most + 1))
        said.append(say("if it stopped: calendar and moon {days} days on; check month and leap year", days=days))
    elif stay.date_steps:
        said.append(say("if it stopped: date {steps} on", steps=_or(stay.date_steps)))
    if stay.steps_if_going and stay.found is not None and stay.found.settled() is not False:
        said.append(say("if it goes: date {steps} on, for the short month", steps=stay.steps_if_going))
    return said


def _or(counts: Iterable[int]) -> str:
    told = [str(count) for count in counts]
    return say("{some} or {last}", some=", ".join(told[:-1]), last=told[-1]) if len(told) > 1 else told[0]


def _left(stay: Stay) -> str:
    return {
        "at rest": say("has stopped; left at rest"),
        "look first": say("how far it is wound is not known; look at it before you leave"),
    }.get(stay.advice, say("how it stands is not known"))


def _visits(absence: Absence, now: datetime, zone: ZoneInfo) -> Iterable[Visit]:
    watches = {stay.watch.uid: stay.watch for stay in absence.stays}
    for each in absence.visits:
        own = [watches[uid] for uid in each.wind]
        lines = [
            Line(uid=watch.uid, nickname=watch.nickname, said=[how_far(watch)], cautions=cautions.at_winding(watch))
            for watch in own
        ]
        yield Visit(when=phrases.when(each.at, now, zone), lines=lines)


def how_far(watch: Watch) -> str:
    """How far to wind, for someone who does not know the watch; an automatic is spoken of by its caution."""
    if watch.wound_by == "weights":
        return say("Raise each weight gently to the top.")
    if watch.by_rotor:
        return ""
    turns = watch.crown_turns_to_full
    if turns is None:
        return say("Wind it until you feel resistance, no further.")
    return say("Wind it until you feel resistance, no further: about {n} turns if it had stopped.", n=f"{turns:g}")
