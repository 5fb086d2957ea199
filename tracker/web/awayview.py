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
from tracker.words import say, written

WOUND = ("wind", "wind for its calendar", "visits")
"""What is to be wound before leaving."""
HEADS: dict[bool | None, str] = {
    False: "Stopped when you are back: {n}",
    None: "Going or stopped when you are back: {n}",
    True: "Going when you are back: {n}",
}
ROTOR_TURNS = 30
"""What an automatic gets whose turns nobody has counted; more does no harm (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A watch with what is said of it, a piece each, and what to mind."""

    uid: str
    nickname: str
    said: Sequence[str]
    cautions: Sequence[str] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Watches that will be found alike."""

    head: str
    lines: Sequence[Line]


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """A visit of the printed sheet: when (`date` in full, for paper; `day` by ISO 8601), and each watch with how it is wound."""

    when: str
    date: str
    day: str
    lines: Sequence[Line]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """The parts of the page, each in the order shown."""

    head: str
    last_round: str
    to_wind: Sequence[Line]
    found: Sequence[Group]
    left: Sequence[Line]
    winding: Sequence[str]
    setting: Sequence[str]
    helpers_setting: Sequence[str]
    visits: Sequence[Visit]


def shown(absence: Absence, now: datetime, zone: ZoneInfo) -> Shown:
    """An absence in words."""
    known = [stay for stay in absence.stays if stay.found is not None]
    visited = {uid for each in absence.visits for uid in each.wind}
    return Shown(
        head=_head(absence, now, zone),
        last_round=_last_round(absence, now, zone),
        to_wind=[
            _line(stay, _before(stay, now, zone), cautions.at_winding(stay.watch))
            for stay in absence.stays
            if stay.advice in WOUND
        ],
        found=list(_groups(sorted(known, key=_by_stop), now, zone)),
        left=[_line(stay, [_left(stay)]) for stay in absence.stays if stay.found is None],
        winding=cautions.past_resistance(stay.watch for stay in absence.stays if stay.advice in WOUND),
        setting=_settings(stay.watch for stay in known if _to_set(stay)),
        helpers_setting=_settings(stay.watch for stay in absence.stays if stay.watch.uid in visited),
        visits=list(_visits(absence, now, zone)),
    )


def _settings(watches: Iterable[Watch]) -> list[str]:
    return [said for said in dict.fromkeys(cautions.at_setting(watch) for watch in watches) if said]


def _to_set(stay: Stay) -> bool:
    return any((*stay.date_steps, *(stay.behind_days or ()), stay.steps_if_going))


def _line(stay: Stay, said: Sequence[str], minded: Sequence[str] = ()) -> Line:
    return Line(uid=stay.watch.uid, nickname=stay.watch.nickname, said=said, cautions=minded)


def _by_stop(stay: Stay) -> tuple[float, str]:
    return (stay.found.stops_from.timestamp() if stay.found else 0.0), stay.watch.nickname.casefold()


def _groups(known: Sequence[Stay], now: datetime, zone: ZoneInfo) -> Iterable[Group]:
    for settled, head in HEADS.items():
        alike = [(stay, stay.found) for stay in known if stay.found is not None and stay.found.settled() is settled]
        lines = [_line(stay, _at_return(stay, found, now, zone)) for stay, found in alike]
        if lines:
            yield Group(head=say(head, n=phrases.number(len(lines))), lines=lines)


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
    doubtful = len(stopping) - len(surely)
    counts = [say("{n} will stop", n=phrases.number(len(surely)))] if surely else []
    counts += (
        [say("{n} may", n=phrases.number(doubtful)) if surely else say("{n} may stop", n=phrases.number(doubtful))]
        if doubtful
        else []
    )
    told = f"{said} {phrases.listed(counts)}"
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
    if stay.look_at is None:
        return [why]
    look = say("the look it was left to run for, {when}, is given up", when=phrases.when(stay.look_at, now, zone))
    return [why, look]


def _at_return(stay: Stay, found: Outlook, now: datetime, zone: ZoneInfo) -> list[str]:
    safe, first, last = (phrases.when(at, now, zone) for at in (found.safe_until, found.stops_from, found.stops_to))
    settled, chance = found.settled(), phrases.chance(found.going_at_return)
    going, by = say("going with a chance of {chance}", chance=chance), say("stops hardly later than {when}", when=last)
    if stay.advice == "let stop" and stay.watch.habit in PLANNED:
        # Its outlook is that of a winding in the last round, which is not worth making.
        said = [say("even if wound before you leave: {going}", going=going if settled is None else by)]
        said += [by] if settled is None else []
    elif stay.advice == "on its winder":
        said = [say("its winder keeps it going: look that it turns before you leave")]
    elif settled:
        said = [say("safe until {when}", when=safe)]
    elif settled is None:
        said = [going, say("safe until {when}", when=safe), by]
    else:
        said = [say("stops between {low} and {high}", low=first, high=last)]
    return said + _to_winder(stay) + _steps(stay)


def _to_winder(stay: Stay) -> list[str]:
    """What would keep an automatic going whose turns a day are known."""
    if stay.winder_turns_a_day is None:
        return []
    turns = phrases.number(round(stay.winder_turns_a_day))
    return [say("a winder of {turns} turns a day would keep it going; try it there a week before", turns=turns)]


def _steps(stay: Stay) -> list[str]:
    said = []
    if stay.watch.stake == "calendar" and stay.behind_days is not None:
        fewest, most = stay.behind_days
        if most:
            on = _days_on(range(fewest, most + 1))
            said.append(say("if it stopped: calendar and moon {days}; check month and leap year", days=on))
        else:
            said.append(say("if it stopped: its calendar is still right"))
    elif any(stay.date_steps):
        said.append(say("if it stopped: date {steps}", steps=_days_on(stay.date_steps)))
    elif stay.date_steps:
        said.append(say("if it stopped: its date is still right"))
    if stay.steps_if_going and stay.found is not None and stay.found.settled() is not False:
        said.append(say("if it goes: date {steps} on, for the short month", steps=stay.steps_if_going))
    return said


def _days_on(counts: Sequence[int]) -> str:
    some = [str(count) for count in counts if count]
    told = say("{some} or {last}", some=", ".join(some[:-1]), last=some[-1]) if len(some) > 1 else some[0]
    return say("{days} on", days=told) if all(counts) else say("right or {days} on", days=told)


def _left(stay: Stay) -> str:
    return {
        "at rest": say("has stopped; left at rest"),
        "look first": say("how far it is wound is not known; look at it before you leave"),
    }.get(stay.advice, say("how it stands is not known"))


def _visits(absence: Absence, now: datetime, zone: ZoneInfo) -> Iterable[Visit]:
    watches = {stay.watch.uid: stay.watch for stay in absence.stays}
    for each in absence.visits:
        yield visit(each.at, [watches[uid] for uid in each.wind], now, zone)


def visit(at: datetime, watches: Iterable[Watch], now: datetime, zone: ZoneInfo) -> Visit:
    """One visit, or one round, of the printed sheet."""
    return Visit(
        when=phrases.when(at, now, zone),
        date=phrases.full_date(at, zone),
        day=at.astimezone(zone).date().isoformat(),
        lines=[
            Line(uid=watch.uid, nickname=watch.nickname, said=[how_far(watch)], cautions=cautions.beside_turns(watch))
            for watch in watches
        ],
    )


def no_visit() -> str:
    """Why nothing is wound though someone comes by."""
    return say("No visit keeps a watch going: either none needs it, or they come too seldom.")


def how_far(watch: Watch) -> str:
    """How far to wind, for someone who does not know the watch."""
    turns = watch.crown_turns_to_full
    if watch.wound_by == "weights":
        return say("Raise each weight gently to the top.")
    if watch.by_rotor:
        return say(
            "Give the crown {n} turns and stop; you will feel no resistance.", n=written(turns or ROTOR_TURNS, "g")
        )
    if turns is None:
        return say("Wind it until you feel resistance, no further.")
    return say(
        "Wind it until you feel resistance, no further: about {n} turns if it had stopped.", n=written(turns, "g")
    )
