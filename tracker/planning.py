"""The plan for the days to come: the owner's rounds, and the watches that go by them as they stand now."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

from tracker.commands.settings import Settings
from tracker.core.rounds.household import Member, carries, deadline, household
from tracker.core.rounds.margins import margins
from tracker.core.rounds.missing import round_to_add
from tracker.core.rounds.plan import Late, Plan
from tracker.core.roundtimes import Away
from tracker.core.watch import Habit, Watch
from tracker.core.windby import hours_at_risk
from tracker.figures import Figures
from tracker.openrounds import open_rounds

DAYS = 14
PRESENT = timedelta(hours=2)
"""So long after its time a round is still held."""
EARLY = timedelta(hours=1)
"""A winding so long before a round is one of that round."""
PLANNED: tuple[Habit, ...] = ("keep going", "on weekdays", "every n days")
"""Habits that a plan is made for; a watch wound when it is worn, or at rest, goes by none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """The plan by uids; those it leaves out.

    `to_look_at`: no full wind is known, so that there is no wind-by; `left_to_run`: a look at it is to come first;
    `members`: by uid, what the plan asks of each; `helped_by`: by uid, the daily round that would keep a watch these
    rounds cannot keep, None where one is not enough.
    """

    plan: Plan
    rounds: tuple[datetime, ...]
    end: datetime
    to_look_at: tuple[str, ...]
    left_to_run: tuple[str, ...]
    helped_by: dict[str, time | None]
    members: dict[str, Member]
    slack: timedelta
    away: tuple[Away, ...] = ()

    def is_away(self, moment: datetime) -> bool:
        """Whether the owner is gone then."""
        return any(each.holds(moment) for each in self.away)

    @property
    def chosen(self) -> dict[str, datetime]:
        """By uid the round that a person chose, of those that the plan holds to."""
        held = {uid: each.chosen for uid, each in self.members.items() if uid not in self.plan.cannot}
        return {uid: at for uid, at in held.items() if at is not None and at in self.rounds}

    def is_choice(self, late: Late) -> bool:
        """Whether a watch is late because a person chose so."""
        return self.chosen.get(late.name) == late.until

    def margins(self, uid: str) -> dict[datetime, timedelta | None]:
        """By the round of each winding of this watch how long before its wind-by it comes; None where it has stopped."""
        return self._margins_at(uid, [each.at for each in self.plan.rounds if uid in each.wind])

    @property
    def all_margins(self) -> dict[str, dict[datetime, timedelta | None]]:
        """The margins of every watch that is wound, by its uid."""
        wound: dict[str, list[datetime]] = {}
        for each in self.plan.rounds:
            for uid in each.wind:
                wound.setdefault(uid, []).append(each.at)
        return {uid: self._margins_at(uid, moments) for uid, moments in wound.items()}

    def _margins_at(self, uid: str, wound: list[datetime]) -> dict[datetime, timedelta | None]:
        lasts = timedelta(hours=carries(self.members[uid]))
        return dict(zip(wound, margins(wound, self.deadline(uid), lasts), strict=True))

    def deadline(self, uid: str) -> datetime | None:
        """By when this watch is to be wound next, no slack taken off; None where it has stopped."""
        return deadline(self.members[uid])

    @property
    def least_margin(self) -> timedelta | None:
        """The least margin of the plan, no slack taken off; None where no winding has a deadline to keep."""
        least = self.plan.least_margin
        return None if least is None else least + self.slack


def planned(
    figures: Sequence[Figures],
    settings: Settings,
    now: datetime,
    days: float = DAYS,
    *,
    sitting: bool = False,
    away: Sequence[Away] = (),
) -> Planned:
    """Plan so many days from now for the watches that go by rounds.

    With `sitting`, as for a person who is at it: a round of the last two hours is held now, and it or the next one has
    begun if a watch was wound in it, so that no watch leaves it for another's having been wound. While the owner is `away`
    no round is open.
    """
    zone, slack, end = ZoneInfo(settings.zone), timedelta(minutes=settings.slack_min), now + timedelta(days=days)
    since = now - PRESENT if sitting else now
    due = open_rounds(settings, since, end, away)
    rounds = sorted({max(each, now) for each in due})
    own = [each for each in figures if goes_by_rounds(each)]
    left = [each for each in own if each.offer is not None and each.offer.at > now]
    rest = [each for each in own if each not in left]
    asking = [one for each in rest if (one := member(each, now)) is not None]
    members = [_held_now(each, since, now) for each in asking]
    begun = rounds[:1] if sitting and due and _begun(members, due[0], now) else []
    plan = household(members, rounds, now, end, slack=slack, zone=zone, begun=begun)
    lasts_h = {each.name: each.lasts_h for each in members}
    known = {each.name for each in members}
    return Planned(
        plan=plan,
        rounds=tuple(rounds),
        end=end,
        to_look_at=tuple(each.watch.uid for each in rest if each.watch.uid not in known),
        left_to_run=tuple(each.watch.uid for each in left),
        members={each.name: each for each in members},
        slack=slack,
        away=tuple(away),
        helped_by={uid: round_to_add(rounds, lasts_h[uid], slack, zone) for uid in plan.cannot},
    )


def _begun(members: Sequence[Member], at: datetime, now: datetime) -> bool:
    """Whether any of them was wound in this round."""
    wound = [each.wound_at for each in members if each.wound_at is not None]
    return at - EARLY <= now and any(at - EARLY <= each <= now for each in wound)


def _held_now(each: Member, since: datetime, now: datetime) -> Member:
    """A round chosen for it is held now, too, if it is among those that are."""
    return replace(each, chosen=now) if each.chosen is not None and since <= each.chosen < now else each


def goes_by_rounds(each: Figures) -> bool:
    """Whether its owner means to wind it by rounds, and can.

    Not while it is worn, on a winder that is not known to fail, or under a run-down test.
    """
    watch = each.watch
    by_hand = watch.wound_by != "rotor only"
    moved = each.history.on_wrist or (each.history.on_winder and each.standing.wind_by is None)
    return watch.habit in PLANNED and by_hand and in_reach(watch) and not moved and each.test is None


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
