"""What the keeper of a watch goes to do, day by day, until the scenes that bring it to where it stands today."""

import random
from collections.abc import Iterator
from datetime import date, datetime, timedelta

from tracker.example.days import DAY, SATURDAY, Days, dice
from tracker.example.role import Act, Intent, Role, Scene, Spells, Steady

LIES_IN_MIN = 75
EVENING_MIN = 20 * 60 + 30
SERVICE_MIN = 11 * 60
AT_THE_BENCH = timedelta(days=9)
RESTS = timedelta(days=2)
"""How long a watch lies after a service before anybody takes it out."""

APART = timedelta(minutes=25)
QUIET = timedelta(hours=3)
WHOLE_ACT = timedelta(minutes=10)


def intents(role: Role, days: Days) -> list[Intent]:
    """Everything the keeper of this watch goes to do, oldest first, at least `APART` between two of them."""
    throws = dice("routine", role.fields.nickname)
    served = list(_services(role, days))
    ending = [_scene(scene, days, throws) for scene in role.ending]
    until = min([days.now + QUIET - WHOLE_ACT, *(scene.at for scene in ending)]) - QUIET
    away = days.absences() if role.keeper.away else frozenset[date]()
    usual = [
        intent for intent in _usual(role, days, away, throws) if intent.at <= until and not _at_bench(intent, served)
    ]
    return _spaced(sorted([*usual, *served, *ending], key=lambda intent: intent.at))


def _services(role: Role, days: Days) -> Iterator[Intent]:
    for mended in role.spring.services:
        at = days.moment(days.ago(mended.days_ago), SERVICE_MIN)
        yield Intent(at=at - AT_THE_BENCH, act="hand in", sure=True)
        yield Intent(at=at, act="service", sure=True, mended=mended)


def _at_bench(intent: Intent, served: list[Intent]) -> bool:
    return any(
        service.act == "service" and service.at - AT_THE_BENCH - APART < intent.at < service.at + RESTS
        for service in served
    )


def _scene(scene: Scene, days: Days, throws: random.Random) -> Intent:
    return Intent(at=days.by_day(*scene.hours_ago, throws), act=scene.act, sure=True)


def _spaced(ordered: list[Intent]) -> list[Intent]:
    kept: list[Intent] = []
    for intent in ordered:
        if not kept or intent.at - kept[-1].at >= APART:
            kept.append(intent)
        elif intent.sure:
            kept[-1] = intent
    return kept


def _usual(role: Role, days: Days, away: frozenset[date], throws: random.Random) -> Iterator[Intent]:
    if isinstance(role.routine, Steady):
        yield from _steady(role.routine, days, away, throws)
    elif isinstance(role.routine, Spells):
        yield from _spells(role.routine, days, away, throws)


def _morning(days: Days, day: date, at_min: int, spread_min: float, throws: random.Random) -> datetime:
    late = max(-2.0, min(2.0, throws.gauss(0, 1))) * spread_min
    lies_in = LIES_IN_MIN if day.weekday() >= SATURDAY else 0
    return days.moment(day, at_min + lies_in + late)


def _steady(routine: Steady, days: Days, away: frozenset[date], throws: random.Random) -> Iterator[Intent]:
    wound_on: date | None = None
    for day in days:
        if day in away:
            continue
        skips, looks, worn = throws.random() < routine.skips, throws.random() < routine.looks, False
        at = _morning(days, day, routine.at_min, routine.spread_min, throws)
        act, evening = _winding(routine, throws), EVENING_MIN + throws.uniform(-60, 60)
        if _is_due(routine, day, wound_on) and not skips:
            wound_on, worn = day, act == "wind on the wrist"
            yield Intent(at=at, act=act)
        if looks or worn:
            yield Intent(at=days.moment(day, evening), act="lay down" if worn else "look")


def _is_due(routine: Steady, day: date, wound_on: date | None) -> bool:
    if routine.weekday is not None:
        return day.weekday() == routine.weekday
    return wound_on is None or (day - wound_on).days >= routine.every_days


def _winding(routine: Steady, throws: random.Random) -> Act:
    chance = throws.random()
    if chance < routine.part:
        return "part wind"
    if chance < routine.part + routine.unsure:
        return "unsure wind"
    return "wind on the wrist" if chance < routine.part + routine.unsure + routine.worn else "wind"


def _spells(routine: Spells, days: Days, away: frozenset[date], throws: random.Random) -> Iterator[Intent]:
    left, rest = 0, throws.randint(*routine.gap_days)
    looks: set[date] = set()
    for day in days:
        if day in away:
            left = 0
            continue
        if left == 0 and rest <= 0:
            left, rest = throws.randint(*routine.days), throws.randint(*routine.gap_days)
        if left:
            left -= 1
            yield from _out(routine, days, day, last=left == 0, throws=throws)
            looks = {day + throws.randint(*routine.looks_after) * DAY for _ in range(2)} if left == 0 else set()
        else:
            rest -= 1
            if day in looks:
                yield Intent(at=days.moment(day, EVENING_MIN + throws.uniform(-90, 60)), act="look")


def _out(routine: Spells, days: Days, day: date, *, last: bool, throws: random.Random) -> Iterator[Intent]:
    """One day of a spell."""
    at, evening = _morning(days, day, routine.at_min, 25, throws), EVENING_MIN + throws.uniform(-40, 80)
    winds_now = routine.winds == "each"
    if winds_now or routine.worn:
        act: Act = "wind" if not routine.worn else "wind on the wrist" if winds_now else "put on"
        yield Intent(at=at, act=act)
    if routine.worn:
        yield Intent(at=days.moment(day, evening), act="lay down")
    if last and routine.winds == "last":
        yield Intent(at=days.moment(day, evening + 40), act="wind")
