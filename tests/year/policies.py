"""By what rules the simulated owner chooses which watches to wind in a round; two of them ask the program."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

from tests.year.household import HOUR, Kept
from tracker.asked import stops_a_year, threshold_of
from tracker.commands.settings import Settings
from tracker.core.reserve import MODEL_VERSION
from tracker.core.rounds.household import Member, deadline, household
from tracker.core.rundown import History, run_downs
from tracker.core.timeline import Entry, Wind
from tracker.core.watch import Watch
from tracker.core.windby import hours_at_risk, risk_for
from tracker.figures import Figures, figures_of
from tracker.histories import told
from tracker.known import Answer
from tracker.planning import DAYS, member
from tracker.store.estimates import Key
from tracker.workedout import Worked, answer_of

SETTINGS = Settings()
SLACK = timedelta(minutes=SETTINGS.slack_min)
ZONE = ZoneInfo(SETTINGS.zone)
WORKED_EVERY = 8
"""The program works a reserve out anew after every winding; here after every stop seen, and else after so many."""
RECENT = 8
"""Of how it stands now these newest notes tell; a reserve is worked out of all."""

PLAN, MORNING, STATED, SHORTEST, ALONE, KNOWING = (
    "the plan",
    "(a) all, every morning",
    "(b) stated less 10 %",
    "(c) shortest run seen",
    "(d) each alone",
    "(e) the plan, truth known",
)


@dataclass(frozen=True, slots=True)
class Moment:
    """A round with those that follow it within the plan's horizon."""

    now: datetime
    rounds: tuple[datetime, ...]

    @property
    def next(self) -> datetime:
        """The round after this one."""
        return self.rounds[1]


Policy = Callable[[Sequence[Kept], Moment], set[str]]
"""The names to be wound now, of watches that should go."""


def figures(kept: Kept, now: datetime) -> Figures:
    """A watch as the program sees it now."""
    key = Key(len(kept.entries), str(MODEL_VERSION), now.date().isoformat(), threshold_of(SETTINGS))
    found = figures_of(Worked(kept.watch, _history(kept), key, _answer(kept)), SETTINGS, now)
    assert found is not None
    return found


def _history(kept: Kept) -> History:
    count = len(kept.entries)
    if kept.history is None or kept.history[0] != count:
        kept.history = count, told(kept.watch, kept.entries[-RECENT:], None).history
    return kept.history[1]


def _answer(kept: Kept) -> Answer:
    count, newest = len(kept.entries), kept.entries[-1]
    stopped = isinstance(newest, Wind) and newest.found == "stopped"
    at = kept.answer[0] if kept.answer else -WORKED_EVERY
    if kept.answer is None or (stopped and at < count) or count - at >= WORKED_EVERY:
        read = told(kept.watch, kept.entries, None)
        kept.answer = count, answer_of(kept.watch, read, newest.at.date(), threshold_of(SETTINGS))
    return kept.answer[1]


def every_morning(watches: Sequence[Kept], _moment: Moment) -> set[str]:
    """All of them."""
    return {each.name for each in watches}


def stated(watches: Sequence[Kept], moment: Moment) -> set[str]:
    """At the last round within nine tenths of the stated reserve."""
    return _last_round(watches, moment, lambda each: each.wound_at + 0.9 * each.truth.stated_h * HOUR)


def shortest(watches: Sequence[Kept], moment: Moment) -> set[str]:
    """At the last round within the shortest run that was ever seen to end; the stated reserve until there is one."""
    return _last_round(watches, moment, lambda each: each.wound_at + shortest_h(each.watch, tuple(each.entries)) * HOUR)


@lru_cache(maxsize=20_000)
def shortest_h(watch: Watch, entries: tuple[Entry, ...]) -> float:
    """The latest moment at which each run can have ended counts: all that is seen is that it stands."""
    spans = [run.evidence.spans_h for run in run_downs(watch, entries).runs]
    ended = [span[-1][1] for span in spans if span and span[-1][1] < float("inf")]
    assert watch.stated_reserve_h is not None
    return min(ended, default=watch.stated_reserve_h)


def alone(watches: Sequence[Kept], moment: Moment) -> set[str]:
    """Each at the last round before the program's wind-by, the slack taken off as in the plan."""

    def by(each: Kept) -> datetime:
        asked = member(figures(each, moment.now), moment.now)
        latest = asked and deadline(asked)
        return latest - SLACK if latest else moment.now

    return _last_round(watches, moment, by)


def knowing(watches: Sequence[Kept], moment: Moment) -> set[str]:
    """The plan made with the true wind-bys, at the risk accepted."""
    members = [_member(each) for each in watches]
    end = moment.now + timedelta(days=DAYS)
    plan = household(members, moment.rounds, moment.now, end, slack=SLACK, zone=ZONE)
    return {name for each in plan.rounds if each.at == moment.now for name in each.wind} | set(plan.cannot)


def true_wind_by_h(kept: Kept) -> tuple[float, float]:
    """Hours from the full wind, and the risk: both as the program would say if it knew all."""
    curve = kept.true_curve
    p = risk_for(curve, stops_a_year(SETTINGS, kept.watch.stake)).p
    return hours_at_risk(curve, p), p


def _member(each: Kept) -> Member:
    lasts_h, _ = true_wind_by_h(each)
    return Member(
        name=each.name,
        wind_by=each.wound_at + lasts_h * HOUR,
        lasts_h=lasts_h,
        habit=each.watch.habit,
        weekdays=each.watch.habit_weekdays,
        every_days=each.watch.habit_every_days,
        wound_at=each.wound_at,
        calendar=each.watch.stake == "calendar",
    )


def _last_round(watches: Sequence[Kept], moment: Moment, by: Callable[[Kept], datetime]) -> set[str]:
    return {each.name for each in watches if by(each) < moment.next}


BY_RULE: dict[str, Policy] = {
    MORNING: every_morning,
    STATED: stated,
    SHORTEST: shortest,
    ALONE: alone,
    KNOWING: knowing,
}
POLICIES = (PLAN, *BY_RULE)
