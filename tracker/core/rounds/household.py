"""The plan of a household: each watch by its own habit, in the same few rounds."""

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from tracker.core.rounds.plan import Late, Plan, Round, plan
from tracker.core.rounds.problem import Kept
from tracker.core.watch import Habit, Weekday

DAYS: tuple[Weekday, ...] = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
JUST_WOUND = timedelta(hours=3)
"""So long after a winding a calendar is not wound again for the mere sake of a round that is open."""
HALF_A_DAY = timedelta(hours=12)
"""So far a winding every so many days may slip: the round of that day counts, whatever the clocks did."""
HOUR = timedelta(hours=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """A watch of the plan: to be wound by `wind_by`, and then again within `lasts_h`, at the risk accepted.

    Its `habit` is *keep going*, *on weekdays* (`weekdays`) or *every n days* (`every_days`, from `wound_at` on). A
    `calendar` is wound in every round that is open. One that has `stopped` is wound in the next round. In the round
    `chosen`, where that is one of the rounds, it is wound first whatever the rest comes to.
    """

    name: str
    wind_by: datetime
    lasts_h: float
    habit: Habit = "keep going"
    weekdays: tuple[Weekday, ...] = ()
    every_days: int | None = None
    wound_at: datetime | None = None
    calendar: bool = False
    stopped: bool = False
    chosen: datetime | None = None


def household(
    members: Sequence[Member],
    rounds: Iterable[datetime],
    now: datetime,
    end: datetime,
    *,
    slack: timedelta,
    zone: ZoneInfo,
    begun: Collection[datetime] = (),
) -> Plan:
    """Plan these watches, names unlike, over the rounds from now to the end.

    A watch of fixed weekdays is wound in the first round of each such day, which is open for its sake, unless it was
    wound on that day already. What a calendar is wound beyond its need is not counted. Rounds that have `begun` are open
    whatever is still to be wound in them, and told only if anything is.
    """
    within = sorted({moment for moment in rounds if now <= moment <= end})
    by_day = {each.name: _on_its_days(each, within, slack, zone) for each in members if each.habit == "on weekdays"}
    kept = [_kept(each, within, slack, end) for each in members if each.name not in by_day]
    found = plan(
        kept, within, now, end, slack, always={moment for days in by_day.values() for moment in days} | {*begun}
    )
    firsts = {each.name: each.pinned for each in kept if each.pinned in within}
    for each in members:
        if each.calendar and each.wound_at is not None:
            firsts.setdefault(each.name, each.wound_at + JUST_WOUND)
    calendars = [each.name for each in members if each.calendar and each.name not in {*by_day, *found.cannot}]
    place = {each.name: number for number, each in enumerate(members)}
    opened = [
        Round(each.at, _named(each, by_day, _from(each.at, calendars, firsts), place.__getitem__))
        for each in found.rounds
    ]
    late = [late for each in members if each.name in by_day for late in _late(each, by_day[each.name], end, slack)]
    return replace(
        found,
        rounds=tuple(each for each in opened if each.wind or each.at not in begun),
        windings=found.windings + sum(len(days) for days in by_day.values()),
        late=tuple(sorted([*found.late, *late], key=lambda each: (each.missed, each.name))),
    )


def _kept(member: Member, rounds: Sequence[datetime], slack: timedelta, end: datetime) -> Kept:
    first = member.chosen if member.chosen in rounds else None
    by, lasts_h = deadline(member), carries(member)
    if by is None:
        # It can't stop again before: no round is too late for it, and the next is best.
        return Kept(member.name, end + slack, lasts_h, first or next(iter(rounds), None))
    return Kept(member.name, by, lasts_h, first)


def deadline(member: Member) -> datetime | None:
    """By when a watch is to be wound; None where it has stopped."""
    if member.stopped:
        return None
    if member.every_days is None or member.habit != "every n days" or member.wound_at is None:
        return member.wind_by
    return min(member.wind_by, member.wound_at + timedelta(days=member.every_days) + HALF_A_DAY)


def carries(member: Member) -> float:
    """For how many hours a winding does."""
    if member.habit != "every n days" or member.every_days is None:
        return member.lasts_h
    return min(member.lasts_h, (timedelta(days=member.every_days) + HALF_A_DAY) / HOUR)


def _from(at: datetime, calendars: Sequence[str], firsts: dict[str, datetime]) -> list[str]:
    """Those that are wound in a round open anyway: not before the round that is their first."""
    return [name for name in calendars if (first := firsts.get(name)) is None or first <= at]


def _on_its_days(member: Member, rounds: Sequence[datetime], slack: timedelta, zone: ZoneInfo) -> tuple[datetime, ...]:
    """The first round of each of its days; a chosen one stands for the day after it, if it lasts until the next."""
    days, chosen = _still_to_do(_first_rounds(member, rounds, zone), member, rounds, slack, zone), member.chosen
    if chosen not in rounds or chosen is None:
        return days
    after = [day for day in days if day.astimezone(zone).date() > chosen.astimezone(zone).date()]
    moved = after[1:] if after == list(days) else after
    lasts = chosen + member.lasts_h * HOUR - slack >= next(iter(moved), rounds[-1])
    return (chosen, *(moved if lasts else after))


def _still_to_do(
    days: tuple[datetime, ...], member: Member, rounds: Sequence[datetime], slack: timedelta, zone: ZoneInfo
) -> tuple[datetime, ...]:
    """Without the first of these days if the watch was wound on it, or the day before and lasts until the next."""
    if member.wound_at is None or not days:
        return days
    first, following = days[0], next(iter(days[1:]), rounds[-1])
    before = (first.astimezone(zone).date() - member.wound_at.astimezone(zone).date()).days
    done = before == 0 or (before == 1 and member.wind_by - slack >= following)
    return days[1:] if done else days


def _first_rounds(member: Member, rounds: Sequence[datetime], zone: ZoneInfo) -> tuple[datetime, ...]:
    first: dict[date, datetime] = {}
    for moment in rounds:
        day = moment.astimezone(zone).date()
        if DAYS[day.weekday()] in member.weekdays:
            first.setdefault(day, moment)
    return tuple(first.values())


def _named(
    opened: Round,
    by_day: dict[str, tuple[datetime, ...]],
    calendars: Sequence[str],
    place: Callable[[str], int],
) -> tuple[str, ...]:
    todays = [name for name, days in by_day.items() if opened.at in days]
    return tuple(sorted({*opened.wind, *todays, *calendars}, key=place))


def _late(member: Member, days: Sequence[datetime], end: datetime, slack: timedelta) -> Iterable[Late]:
    """Where its wind-by comes before its next day."""
    deadline = min([*days, end]) if member.stopped else member.wind_by - slack
    for day in (*days, end):
        if deadline < day:
            yield Late(member.name, deadline, day)
        deadline = day + member.lasts_h * HOUR - slack
