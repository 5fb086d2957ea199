"""The coming fortnight as the Round page shows it: day by day, each open round with its watches."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from tracker import choicewords, phrases
from tracker.figures import Figures
from tracker.planning import Planned
from tracker.words import say

NAMED = 12
"""So many watches of one round are named at once; the others are told when asked for."""


@dataclass(frozen=True, slots=True)
class Named:
    """A watch by its uid and nickname, how long before its wind-by it is wound, whether a person chose the round.

    `next` where this is its next winding, which may be moved; those after it follow from it.
    """

    uid: str
    nickname: str
    margin: str = ""
    chosen: bool = False
    next: bool = False


@dataclass(frozen=True, slots=True)
class Open:
    """One open round: its time on the owner's clock, the first of its watches, and the rest."""

    time: str
    first: Sequence[Named]
    rest: Sequence[Named]


@dataclass(frozen=True, slots=True)
class Day:
    """A day of the plan, or several days on which nothing is wound, with why (`idle`)."""

    said: str
    rounds: Sequence[Open]
    idle: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """The plan in words: what it comes to, its days, what it cannot do, and what a person chose."""

    sums: str
    days: Sequence[Day]
    warnings: Sequence[str]
    chosen: Sequence[Named] = ()


def shown(
    found: Planned, figures: Sequence[Figures], now: datetime, zone: ZoneInfo, *, without: Planned | None = None
) -> Shown | None:
    """The plan of watches that go by rounds; None where none does. `without` is the plan if nobody had chosen."""
    plan = found.plan
    if not (plan.rounds or plan.late or plan.cannot):
        return None
    names = {each.watch.uid: each.watch.nickname for each in figures}
    return Shown(
        sums=sums(found, without),
        days=list(_days(found, names, now, zone)) if found.rounds else [],
        warnings=warnings(found, names, now, zone),
        chosen=[
            Named(uid, names[uid], choicewords.first(found, uid, at, now, zone)) for uid, at in found.chosen.items()
        ],
    )


def sums(found: Planned, without: Planned | None) -> str:
    """What a plan comes to, its least margin, and what it costs that rounds were chosen."""
    if not found.rounds:
        return say("None of your rounds falls into these days.")
    opened, windings = len(found.plan.rounds), found.plan.windings
    said = say(
        "{rounds} of {all} rounds, {windings} windings.", rounds=opened, all=len(found.rounds), windings=windings
    )
    if found.plan.windings_within:
        said = say("{said} There may be {n} windings fewer.", said=said, n=found.plan.windings_within)
    costs = choicewords.costs(found.plan, without.plan) if without is not None else ""
    return " ".join(part for part in (said, choicewords.closest(found), costs) if part)


def _days(found: Planned, names: Mapping[str, str], now: datetime, zone: ZoneInfo) -> Iterable[Day]:
    """Days with a round that is open; those between without one are told together."""
    by_day: dict[date, list[Open]] = {}
    margins, chosen = found.all_margins, found.chosen
    for each in found.plan.rounds:
        watches = [_named(uid, names[uid], margins[uid], each.at, chosen.get(uid)) for uid in each.wind]
        time_said = say("now") if each.at <= now else phrases.clock_time(each.at, zone)
        opened = Open(time_said, watches[:NAMED], watches[NAMED:])
        by_day.setdefault(each.at.astimezone(zone).date(), []).append(opened)
    idle: list[datetime] = []
    first, last = (moment.astimezone(zone).date() for moment in (now, found.end))
    for number in range((last - first).days + 1):
        noon = datetime.combine(first + timedelta(days=number), time(12), zone)
        rounds = by_day.get(noon.date())
        if rounds is not None or (idle and found.is_away(idle[-1]) != found.is_away(noon)):
            yield from _idle(idle, found, now, zone)
            idle = []
        if rounds is None:
            idle.append(noon)
        else:
            yield Day(phrases.day(noon, now, zone), rounds)
    yield from _idle(idle, found, now, zone)


def _named(
    uid: str, nickname: str, margins: Mapping[datetime, timedelta | None], at: datetime, chosen: datetime | None
) -> Named:
    return Named(uid, nickname, choicewords.margin(margins[at]), chosen == at, next(iter(margins)) == at)


def _idle(days: Sequence[datetime], found: Planned, now: datetime, zone: ZoneInfo) -> Iterable[Day]:
    if days:
        first, last = (phrases.day(each, now, zone) for each in (days[0], days[-1]))
        said = first if len(days) == 1 else say("{first} to {last}", first=first, last=last)
        yield Day(said, (), say("you are away") if found.is_away(days[0]) else say("nothing to wind"))


def warnings(found: Planned, names: Mapping[str, str], now: datetime, zone: ZoneInfo) -> list[str]:
    """By round, whom it reaches too late, but where a person chose so or it is too late already; whom none can keep."""
    by_round: dict[datetime, list[str]] = {}
    away: list[str] = []
    for late in found.plan.late:
        wind_by = late.missed + found.slack
        if now < wind_by < late.until and not found.is_choice(late):
            when = phrases.when(wind_by, now, zone)
            if found.is_away(wind_by):
                away.append(say("{nickname} from {when}", nickname=names[late.name], when=when))
            else:
                told = say("{nickname} by {when}", nickname=names[late.name], when=when)
                by_round.setdefault(late.until, []).append(told)
    said = [say("While you are away these may stop: {watches}.", watches=_first_few(away))] if away else []
    said += [_sooner(at, each, found, now, zone) for at, each in sorted(by_round.items())]
    return said + [_cannot(names[uid], found, uid) for uid in found.plan.cannot]


def _first_few(told: Sequence[str]) -> str:
    more = [say("{n} more", n=phrases.number(len(told) - NAMED))] if len(told) > NAMED else []
    return phrases.listed([*told[:NAMED], *more])


def _sooner(at: datetime, told: Sequence[str], found: Planned, now: datetime, zone: ZoneInfo) -> str:
    watches = _first_few(told)
    if at in found.rounds:
        return say(
            "To wind sooner than in the round {when}: {watches}.", when=phrases.when(at, now, zone), watches=watches
        )
    return say("No round of yours comes in time for: {watches}.", watches=watches)


def _cannot(name: str, found: Planned, uid: str) -> str:
    """A watch that the rounds can't keep, and the round that would."""
    helps = found.helped_by[uid]
    if helps is None:
        return say("{name} can't be kept going by these rounds, nor with one more a day.", name=name)
    return say(
        "{name} can't be kept going by these rounds; one more at {time} every day would do.",
        name=name,
        time=phrases.clock(helps),
    )
