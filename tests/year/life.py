"""A year of one simulated owner under one policy: what is wound, what stops, what is told."""

import copy
import random
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from tests.year.household import HOUR, HOUSEHOLDS, MINUTE, Kept, household
from tests.year.policies import ALONE, BY_RULE, KNOWING, PLAN, SETTINGS, ZONE, Moment, figures, true_wind_by_h
from tests.year.post import Post
from tracker.core.roundtimes import moments
from tracker.openrounds import round_times
from tracker.planning import DAYS
from tracker.reminders.roundfacts import RoundFacts

WARMED_FROM = datetime(2026, 1, 5, tzinfo=UTC)
BEGINS = WARMED_FROM + timedelta(weeks=13)
WEEKS = 52
FORGETS = 0.02
"""Share of rounds that the owner forgets, told of them or not."""
AT_ONCE_MIN = (5.0, 40.0)
"""So long after a round, or after being told, it is begun."""
ANSWERS = 0.75
"""Share of last calls by day that the owner can follow; at night, none."""
DAY = range(7, 23)
WEARS = 0.3
"""How often each watch wound when worn is, on a day."""
JUDGED = timedelta(minutes=5)
"""So long before a round the program has last looked what to tell."""


@dataclass
class Tally:
    """What came of it, of watches that should go.

    `rounds`: how many were held; `answered`: last calls on which a watch was wound beside them; `stops`: runs, odd ones too, that ended before
    the next winding; `odd`: those of them that were not clean; `forgot`: of the clean ones those of a forgotten round.
    `wind_bys`: issued for clean runs; `accepted`: the sum of their risks; `early`: how many of these runs, let be, would
    have ended before.

    `digests`: rounds told; `needless_digests`: left out altogether, nothing it named would have been found standing
    in the round after. `calls`: last calls; `needless_calls`: it would have been found going then.
    """

    windings: int = 0
    rounds: int = 0
    answered: int = 0
    stops: int = 0
    odd: int = 0
    forgot: int = 0
    wind_bys: int = 0
    accepted: float = 0.0
    early: int = 0
    digests: int = 0
    needless_digests: int = 0
    calls: int = 0
    needless_calls: int = 0


@dataclass
class Life:
    """One owner's year so far; `put_off` are the names of a round that was forgotten."""

    owner: int
    policy: str
    watches: list[Kept]
    tally: Tally = field(default_factory=Tally)
    post: Post = field(default_factory=Post)
    put_off: set[str] = field(default_factory=set)

    def chance(self, of: str) -> random.Random:
        """The same for all policies."""
        return random.Random(f"{self.owner} {of}")

    def named(self, names: Iterable[str]) -> list[Kept]:
        """These watches."""
        wanted = {*names}
        return [each for each in self.watches if each.name in wanted]


def rounds_from(first: datetime, weeks: int) -> list[datetime]:
    """The owner's rounds, and those of a horizon more."""
    return moments(round_times(SETTINGS), first, first + timedelta(weeks=weeks, days=DAYS + 1), ZONE)


def warmed(owner: int, kind: str) -> list[Kept]:
    """The watches after three months without a plan: each wound after half to one and a quarter of its stated reserve."""
    watches, rounds = household(owner, HOUSEHOLDS[kind]), rounds_from(WARMED_FROM, 13)
    for each in watches:
        throws, due = random.Random(f"{each.key} warm"), WARMED_FROM
        for at in rounds:
            if due <= at < BEGINS:
                each.wind(at)
                due = at + throws.uniform(0.5, 1.25) * each.truth.stated_h * HOUR
    return watches


def lived(owner: int, watches: Sequence[Kept], policy: str, weeks: int = WEEKS) -> Tally:
    """So many weeks by this policy; the watches stay as they were."""
    life = Life(owner, policy, copy.deepcopy(list(watches)))
    rounds, end = rounds_from(BEGINS, weeks), BEGINS + timedelta(weeks=weeks)
    for place, at in enumerate(rounds):
        if at >= end:
            break
        moment = Moment(at, tuple(each for each in rounds[place:] if each <= at + timedelta(days=DAYS)))
        _wear(life, at)
        if policy == PLAN:
            _by_messages(life, moment)
        else:
            _by_rule(life, moment)
    return life.tally


def _wear(life: Life, at: datetime) -> None:
    """Those wound when worn are, early in the morning."""
    for each in life.watches:
        if not each.to_go and life.chance(f"{at} wears {each.name}").random() < WEARS:
            each.wind(at - HOUR)


def _by_rule(life: Life, moment: Moment) -> None:
    """The owner looks at every round what the rule says; nobody calls again."""
    chosen = BY_RULE[life.policy]([each for each in life.watches if each.to_go], moment)
    if chosen:
        _round(life, life.named(chosen), moment, moment.now)


def _by_messages(life: Life, moment: Moment) -> None:
    """The owner does what the program says when it says so, and nothing else."""
    life.post.judge(life.watches, moment.now - JUDGED)
    while told := life.post.tell(moment.next - JUDGED):
        if isinstance(told.facts, RoundFacts):
            _round(life, life.named(each.watch_uid for each in told.facts.open), moment, told.due_at)
        else:
            _called(life, told.subject_uid, moment, told.due_at)


def _round(life: Life, own: list[Kept], moment: Moment, at: datetime) -> None:
    life.tally.digests += 1
    life.tally.needless_digests += not any(_would_stand(each, moment) for each in own)
    if life.chance(f"{moment.now} forgets").random() < FORGETS:
        life.put_off |= {each.name for each in own}
    else:
        life.tally.rounds += 1
        _wound(life, own, at + life.chance(f"{moment.now} begins").uniform(*AT_ONCE_MIN) * MINUTE)


def _called(life: Life, name: str, moment: Moment, at: datetime) -> None:
    [each], throws = life.named([name]), life.chance(f"{at} {name} called")
    life.tally.calls += 1
    life.tally.needless_calls += not _would_stand(each, moment)
    if at.astimezone(ZONE).hour in DAY and throws.random() < ANSWERS:
        life.tally.answered += 1
        _wound(life, [each], at + throws.uniform(*AT_ONCE_MIN) * MINUTE)


def _would_stand(each: Kept, moment: Moment) -> bool:
    """Whether it would be found standing in the next round if nobody wound it before."""
    return each.ends_at <= moment.next


def _wound(life: Life, own: Sequence[Kept], at: datetime) -> None:
    tally = life.tally
    for minutes, each in enumerate(own):
        now = at + minutes * MINUTE
        stopped = each.ends_at <= now
        tally.windings += 1
        tally.stops += stopped
        tally.odd += stopped and not each.clean
        tally.forgot += stopped and each.clean and each.name in life.put_off
        each.wind(now)
        _issued(each, life)
    life.put_off -= {each.name for each in own}
    if life.policy == PLAN:
        life.post.wound(own, at + len(own) * MINUTE)


def _issued(each: Kept, life: Life) -> None:
    """The wind-by issued for the run that has just begun."""
    if life.policy == KNOWING:
        hours, p = true_wind_by_h(each)
        by: datetime | None = each.wound_at + hours * HOUR
    elif life.policy in {PLAN, ALONE}:
        now = figures(each, each.wound_at)
        by, p = now.standing.wind_by, now.risk.p
    else:
        return
    if each.clean and by is not None:
        life.tally.wind_bys += 1
        life.tally.accepted += p
        life.tally.early += each.ends_at < by
