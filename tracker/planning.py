"""The plan for the days to come: the owner's rounds, and the watches that go by them as they stand now."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

from tracker.commands.settings import Settings
from tracker.core.rounds.household import Member, household
from tracker.core.rounds.missing import round_to_add
from tracker.core.rounds.plan import Plan
from tracker.core.roundtimes import RoundTime, moments
from tracker.core.watch import Habit, Watch
from tracker.core.windby import hours_at_risk
from tracker.figures import Figures

DAYS = 14
WEEKDAYS, WEEKEND = frozenset(range(5)), frozenset({5, 6})
PLANNED: tuple[Habit, ...] = ("keep going", "on weekdays", "every n days")
"""Habits that a plan is made for; a watch wound when it is worn, or at rest, goes by none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """The plan by uids; those it leaves out.

    `to_look_at`: no full wind is known, so that there is no wind-by; `left_to_run`: a look at it is to come first;
    `helped_by`: by uid, the daily round that would keep a watch these rounds cannot keep, None where one is not enough.
    """

    plan: Plan
    rounds: tuple[datetime, ...]
    end: datetime
    to_look_at: tuple[str, ...]
    left_to_run: tuple[str, ...]
    helped_by: dict[str, time | None]


def round_times(settings: Settings) -> list[RoundTime]:
    """The owner's rules."""
    times = [(WEEKDAYS, settings.rounds_on_weekdays), (WEEKEND, settings.rounds_at_weekends)]
    return [RoundTime(days, time.fromisoformat(at)) for days, each in times for at in each]


def planned(figures: Sequence[Figures], settings: Settings, now: datetime, days: float = DAYS) -> Planned:
    """Plan so many days from now for the watches that go by rounds."""
    zone, slack, end = ZoneInfo(settings.zone), timedelta(minutes=settings.slack_min), now + timedelta(days=days)
    rounds = moments(round_times(settings), now, end, zone)
    own = [each for each in figures if goes_by_rounds(each)]
    left = [each for each in own if each.offer is not None and each.offer.at > now]
    rest = [each for each in own if each not in left]
    members = [one for each in rest if (one := member(each, now)) is not None]
    plan = household(members, rounds, now, end, slack=slack, zone=zone)
    lasts_h = {each.name: each.lasts_h for each in members}
    known = {each.name for each in members}
    return Planned(
        plan=plan,
        rounds=tuple(rounds),
        end=end,
        to_look_at=tuple(each.watch.uid for each in rest if each.watch.uid not in known),
        left_to_run=tuple(each.watch.uid for each in left),
        helped_by={uid: round_to_add(rounds, lasts_h[uid], slack, zone) for uid in plan.cannot},
    )


def goes_by_rounds(each: Figures) -> bool:
    """Whether its owner means to wind it by rounds, and can; not while it is worn."""
    watch = each.watch
    by_hand = watch.wound_by != "rotor only"
    return watch.habit in PLANNED and by_hand and in_reach(watch) and not each.history.on_wrist


def in_reach(watch: Watch) -> bool:
    """Whether the owner can wind it: in use, in reach, and no customer's."""
    return watch.archived_at is None and watch.reach != "out of reach" and not watch.customers


def member(each: Figures, now: datetime) -> Member | None:
    """What the plan asks of a watch; None where no wind-by is known and it has not stopped."""
    stopped = each.standing.word == "stopped"
    wind_by = each.standing.wind_by
    if wind_by is None and not stopped:
        return None
    run = each.history.current
    return Member(
        name=each.watch.uid,
        wind_by=wind_by or now,
        lasts_h=hours_at_risk(each.estimate.next_run, each.risk.p),
        habit=each.watch.habit,
        weekdays=each.watch.habit_weekdays,
        every_days=each.watch.habit_every_days,
        wound_at=run.started_at if run is not None and not stopped else None,
        calendar=each.watch.stake == "calendar",
        stopped=stopped,
        chosen=each.chosen_round,
    )
