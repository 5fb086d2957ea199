"""While the owner is away: for each watch that stays what to do before leaving, and how it will be found."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from typing import Literal
from zoneinfo import ZoneInfo

from sqlite_utils import Database

from tracker.commands.absence import KeepAbsence
from tracker.commands.settings import Settings
from tracker.core.away import Outlook, days_stopped, outlook, steps_of_going, steps_of_stopped
from tracker.core.rounds.household import household
from tracker.core.rounds.plan import Round
from tracker.core.roundtimes import BEFORE_LEAVING
from tracker.core.watch import Watch
from tracker.errors import BadInput, NotFound
from tracker.figures import Figures
from tracker.openrounds import open_rounds
from tracker.planning import PLANNED, in_reach, member
from tracker.store import absences
from tracker.words import say

Advice = Literal[
    "on its winder", "wind", "wind for its calendar", "visits", "leave going", "let stop", "look first", "at rest"
]

LONGEST = timedelta(days=366)
MOST_DAYS = 60
"""The longest from one visit to the next."""
AS_GOOD = 0.9
"""A watch that goes on so likely without it needs no winding before leaving."""
EVEN = 0.5
"""A winding that makes it as likely as not to be found going is worth making."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """One watch while its owner is away.

    `found` is how it goes if the advice is followed, None where nothing is known of its run (or it has stopped already).
    `behind_days` is by how many days its calendar is behind if it has stopped (fewest, most), `date_steps` what its date
    window then wants, `steps_if_going` what it wants though it went on. `look_at` is a look it was left to run for, which
    falls into the absence. `winder_turns_a_day`: what would keep one going that stops, where its owner knows.
    """

    watch: Watch
    advice: Advice
    found: Outlook | None = None
    behind_days: tuple[int, int] | None = None
    date_steps: tuple[int, ...] = ()
    steps_if_going: int = 0
    look_at: datetime | None = None
    winder_turns_a_day: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Absence:
    """From `leave` to `back`; `last_round` is the last one before, `added` if none of the owner's own is left.

    `visits` are the rounds of whoever comes by meanwhile, with the uids of the watches to be wound.
    """

    leave: datetime
    back: datetime
    last_round: datetime
    added: bool
    stays: tuple[Stay, ...]
    travelling: tuple[Watch, ...]
    visits: tuple[Round, ...] = ()


def absence(
    figures: Sequence[Figures],
    settings: Settings,
    now: datetime,
    *,
    leave: datetime,
    back: datetime,
    taken: Collection[str] = (),
    visits: Sequence[datetime] = (),
) -> Absence:
    """How the watches in reach stand over an absence; those in `taken` (uids) travel along, at `visits` a helper winds.

    Raises:
        BadInput: it has begun already, or ends before it begins or more than a year after.
    """
    refuse_impossible(leave, back, now)
    zone = ZoneInfo(settings.zone)
    rounds = open_rounds(settings, now, leave)
    last = rounds[-1] if rounds else max(now, leave - BEFORE_LEAVING)
    own = [each for each in figures if in_reach(each.watch) and each.test is None]
    staying = [each for each in own if each.watch.uid not in taken]
    asked = [each for each in staying if each.watch.habit in PLANNED] if visits else []
    helped = _helped(asked, (*(rounds or [last]), *visits), (now, leave, back), zone)
    last_wound = {uid: each.at for each in helped for uid in each.wind if each.at in visits}
    return Absence(
        leave=leave,
        back=back,
        last_round=last,
        added=not rounds,
        stays=tuple(_stay(each, (leave, back), _advice(each, last, back, last_wound), zone) for each in staying),
        travelling=tuple(each.watch for each in own if each.watch.uid in taken),
        visits=tuple(each for each in helped if each.at in visits),
    )


def refuse_impossible(leave: datetime, back: datetime, now: datetime) -> None:
    """Raise it where nobody can be away so.

    Raises:
        BadInput: it has begun already, or ends before it begins or more than a year after.
    """
    if leave < now:
        raise BadInput(say("This time has passed."), field="leave", accepted=say("Give the time at which you leave."))
    if not leave < back <= leave + LONGEST:
        raise BadInput(say("You come back after you leave, within a year."), field="back")


def visits_every(days: int, at: time, leave: datetime, back: datetime, zone: ZoneInfo) -> tuple[datetime, ...]:
    """When whoever comes by is there: every so many days after leaving, at one time of the owner's clock."""
    first, end = leave.astimezone(zone).date(), back.astimezone(zone).date()
    ahead = range(days, min((end - first).days, LONGEST.days) + 1, days)
    moments = (datetime.combine(first + timedelta(days=each), at, zone).astimezone(UTC) for each in ahead)
    return tuple(moment for moment in moments if moment < back)


def _helped(
    asked: Sequence[Figures], rounds: Sequence[datetime], times: tuple[datetime, datetime, datetime], zone: ZoneInfo
) -> tuple[Round, ...]:
    """The fewest rounds that keep these watches going, as far as the visits can; none is wound that stops all the same."""
    now, leave, back = times
    members = [one for each in asked if (one := member(each, now)) is not None]
    plan = household(members, rounds, now, back, slack=timedelta(0), zone=zone)
    lost = {each.name for each in plan.late if leave < each.until != back} | {*plan.cannot}
    kept = (Round(each.at, tuple(uid for uid in each.wind if uid not in lost)) for each in plan.rounds)
    return tuple(each for each in kept if each.wind)


def _stay(
    each: Figures, away: tuple[datetime, datetime], advised: tuple[Advice, Outlook | None], zone: ZoneInfo
) -> Stay:
    (leave, back), (advice, found) = away, advised
    turns = each.watch.winder_turns_a_day if found is not None and _stops_off_a_winder(each, found) else None
    look_at = each.offer.at if each.offer is not None and leave < each.offer.at < back else None
    if found is None or each.watch.stake == "time only":
        return Stay(watch=each.watch, advice=advice, found=found, look_at=look_at, winder_turns_a_day=turns)
    may_stop = found.settled() is not True
    dated = each.watch.stake == "date" or each.watch.date_window
    return Stay(
        watch=each.watch,
        advice=advice,
        found=found,
        behind_days=days_stopped(found, back, zone) if may_stop else None,
        date_steps=tuple(steps_of_stopped(found, back, zone)) if dated and may_stop else (),
        # A perpetual calendar knows how long the months are.
        steps_if_going=steps_of_going(leave, back, zone) if each.watch.stake == "date" else 0,
        look_at=look_at,
        winder_turns_a_day=turns,
    )


def _stops_off_a_winder(each: Figures, found: Outlook) -> bool:
    return each.watch.by_rotor and not each.history.on_winder and found.settled() is not True


def _advice(
    each: Figures, last: datetime, back: datetime, visited: dict[str, datetime]
) -> tuple[Advice, Outlook | None]:
    """What to do before leaving, and the outlook of the run that then counts."""
    stopped = each.standing.word == "stopped"
    left = None if stopped else _left(each, back)
    if each.watch.uid in visited:
        return "visits", outlook(each.estimate.next_run, each.risk.p, visited[each.watch.uid], back)
    if left is not None and each.kept_wound and each.history.on_winder:
        return "on its winder", left
    if left is not None and left.going_at_return >= AS_GOOD:
        return "leave going", left
    if each.watch.habit not in PLANNED:
        return ("let stop", left) if left is not None else ("at rest" if stopped else "look first", None)
    return _wound(each, last, back, stopped=stopped)


def _wound(each: Figures, last: datetime, back: datetime, *, stopped: bool) -> tuple[Advice, Outlook | None]:
    """Whether a winding in the last round is worth making, and its outlook."""
    wound = outlook(each.estimate.next_run, each.risk.p, last, back)
    if wound.going_at_return >= EVEN:
        return "wind", wound
    if each.watch.stake != "time only":
        return "wind for its calendar", wound
    # Wound in the rounds until then or not, it stops: at the latest as if it were wound in the last of them.
    return ("at rest", None) if stopped else ("let stop", wound)


def _left(each: Figures, back: datetime) -> Outlook | None:
    """How the present run goes on if it is left alone; None where no full wind is known."""
    run = each.run
    if run is None or (each.standing.wind_by is None and not each.kept_wound) or each.standing.look:
        return None
    seen_h = each.standing.seen_going_h
    return outlook(each.curve, each.risk.p, run.started_from, back, seen_going_h=seen_h)


def come_back(db: Database, now: datetime) -> KeepAbsence:
    """What notes that the owner is back now, earlier than was kept.

    Raises:
        NotFound: the owner is not away, as far as is kept.
    """
    held = next((each for each in absences.absences(db) if each.away.holds(now)), None)
    if held is None:
        raise NotFound(say("You are not away, as far as is noted."))
    return KeepAbsence(leave=held.away.leave, back=now, taken=held.taken, replaces=held.uid)
