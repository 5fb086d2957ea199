"""The coming fortnight as the Round page shows it: day by day, each open round with its watches."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from tracker import phrases
from tracker.core.rounds.plan import Late
from tracker.figures import Figures
from tracker.planning import Planned
from tracker.words import say

HOUR = timedelta(hours=1)
NAMED = 12
"""So many watches of one round are named at once; the others are told when asked for."""


@dataclass(frozen=True, slots=True)
class Named:
    """A watch by its uid and nickname."""

    uid: str
    nickname: str


@dataclass(frozen=True, slots=True)
class Open:
    """One open round: its time on the owner's clock, the first of its watches, and the rest."""

    time: str
    first: Sequence[Named]
    rest: Sequence[Named]


@dataclass(frozen=True, slots=True)
class Day:
    """A day of the plan, or several days on which nothing is wound."""

    said: str
    rounds: Sequence[Open]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """The plan in words: what it comes to, its days, and what it cannot do."""

    sums: str
    days: Sequence[Day]
    warnings: Sequence[str]


def shown(found: Planned, figures: Sequence[Figures], now: datetime, zone: ZoneInfo) -> Shown | None:
    """The plan of watches that go by rounds; None where none does."""
    plan = found.plan
    if not (plan.rounds or plan.late or plan.cannot):
        return None
    names = {each.watch.uid: each.watch.nickname for each in figures}
    return Shown(
        sums=_sums(found), days=list(_days(found, names, now, zone)), warnings=_warnings(found, names, now, zone)
    )


def _sums(found: Planned) -> str:
    opened, windings = len(found.plan.rounds), found.plan.windings
    said = say(
        "{rounds} of {all} rounds, {windings} windings.", rounds=opened, all=len(found.rounds), windings=windings
    )
    if found.plan.windings_within:
        said = say("{said} There may be {n} windings fewer.", said=said, n=found.plan.windings_within)
    margin = found.plan.least_margin
    if margin is None:
        return said
    return say(
        "{said} The closest comes {length} before it must.",
        said=said,
        length=phrases.length(margin / HOUR, known_to_h=0.5),
    )


def _days(found: Planned, names: Mapping[str, str], now: datetime, zone: ZoneInfo) -> Iterable[Day]:
    """Days with a round that is open; those between without one are told together."""
    by_day: dict[date, list[Open]] = {}
    for each in found.plan.rounds:
        watches = [Named(uid, names[uid]) for uid in each.wind]
        opened = Open(phrases.clock_time(each.at, zone), watches[:NAMED], watches[NAMED:])
        by_day.setdefault(each.at.astimezone(zone).date(), []).append(opened)
    idle: list[datetime] = []
    first, last = (moment.astimezone(zone).date() for moment in (now, found.end))
    for number in range((last - first).days + 1):
        noon = datetime.combine(first + timedelta(days=number), time(12), zone)
        rounds = by_day.get(noon.date())
        if rounds is None:
            idle.append(noon)
        else:
            yield from _idle(idle, now, zone)
            idle = []
            yield Day(phrases.day(noon, now, zone), rounds)
    yield from _idle(idle, now, zone)


def _idle(days: Sequence[datetime], now: datetime, zone: ZoneInfo) -> Iterable[Day]:
    if days:
        first, last = (phrases.day(each, now, zone) for each in (days[0], days[-1]))
        yield Day(first if len(days) == 1 else say("{first} to {last}", first=first, last=last), ())


def _warnings(found: Planned, names: Mapping[str, str], now: datetime, zone: ZoneInfo) -> list[str]:
    told = [late(each, names[each.name], now, zone) for each in found.plan.late]
    return told + [cannot(names[uid], found, uid) for uid in found.plan.cannot]


def late(found: Late, name: str, now: datetime, zone: ZoneInfo) -> str:
    """A watch whose deadline no round meets."""
    missed, until = (phrases.when(moment, now, zone) for moment in (found.missed, found.until))
    return say(
        "{name} should be wound by {missed}; no round comes before {until}.", name=name, missed=missed, until=until
    )


def cannot(name: str, found: Planned, uid: str) -> str:
    """A watch that the rounds can't keep, and the round that would."""
    helps = found.helped_by[uid]
    if helps is None:
        return say("{name} can't be kept going by these rounds, nor with one more a day.", name=name)
    return say(
        "{name} can't be kept going by these rounds; one more at {time} every day would do.",
        name=name,
        time=f"{helps:%H:%M}",
    )
