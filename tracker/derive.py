"""Bringing what is derived up to date: reminders at once, inside the change; estimates after it, with what hangs on them."""

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from sqlite_utils import Database

from tracker import cues, figures, sensing, workedout
from tracker.asked import threshold_of, today_of
from tracker.collection import preferences_of
from tracker.commands.settings import Settings
from tracker.core.offer import run_to_look_at
from tracker.core.roundtimes import Away
from tracker.figures import Figures, Waiting
from tracker.known import Freshness, Memory, Remembered, freshness
from tracker.lastcalls import last_chance, named_at_return, wants_last_call
from tracker.reminders.outbox import by_day, replan
from tracker.reminders.plan import KeptWatch
from tracker.reminders.roundbox import strike
from tracker.store import estimates, register, reminders
from tracker.store.absences import aways
from tracker.store.benchtests import under_test
from tracker.store.store import Store
from tracker.workedout import Worked

Progress = Callable[[int, int], None]
"""Called with how many watches are worked out, of how many."""


def settle(db: Database, moved: Collection[str], others: Collection[str], now: datetime, memory: Memory) -> Remembered:
    """Inside a change: bring reminders to what is known without working out anything.

    A new winding closes what was told of the one before; the wind-by is that of the last estimate, if there is one.

    Args:
        db: inside the change.
        moved: the watches whose log or entry in the register moved on with it.
        others: further ones that its preferences or answers touch.
        now: this moment.
        memory: what was read of the collection before.

    Returns:
        The histories that were read, to be remembered once the change is kept.
    """
    read_now: Remembered = {}
    watches, counters = register.every_watch(db), sensing.counters(db)
    gone = sorted({*moved} - {watch.uid for watch in watches})
    for uid in gone:
        estimates.forget_estimate(db, uid)
    # Of the others nothing was told and nothing can be: their logs, long ones when a file is taken in, need no reading yet.
    planned = (estimates.cached(db) | reminders.open_subjects(db)) & {*moved}
    at_hand = [watch for watch in watches if watch.uid in others and watch.uid not in moved]
    found = figures.read(db, [each for each in watches if each.uid in planned], counters, now, memory, into=read_now)
    beside = figures.read(db, at_hand, counters, now, memory, into=read_now, with_runs=False)
    # What is behind already is seen to when it is worked out.
    known = found.known + [each for each in beside.known if not each.behind]
    settings, away = preferences_of(db).values, aways(db)
    to_plan = [_to_keep(each, settings, by_day(now, ZoneInfo(settings.zone)), away) for each in known]
    to_plan += [_to_keep_waiting(each) for each in found.waiting]
    replan(db, to_plan, settings.notice_h, now, gone=gone)
    strike(db, moved, now)
    cues.retell(db, {*moved, *others}, now)
    # A rule of the owner's judges at once what is known; an entry, once it is worked out.
    settled = [each for each in known if not each.behind]
    if settled:
        cues.judge(db, settled, settings, now)
    return read_now


def keep(db: Database, worked: Sequence[Worked], now: datetime) -> list[Figures]:
    """Keep what was worked out and bring what hangs on it up to date, all inside one change.

    What was worked out from a log that has moved on since is left alone. Everything that is judged by an estimate is
    judged here: cues are raised and cleared, reminders are planned anew.

    Returns:
        The figures of the watches that were kept.
    """
    counters, settings, away = sensing.counters(db), preferences_of(db).values, aways(db)
    holding = [each for each in worked if counters.get(each.watch.uid) == each.key.log_counter]
    for each in holding:
        estimates.write_estimate(db, each.watch.uid, each.key, each.answer.to_dict())
    found, tests = [figures.figures_now(each, settings, now) for each in holding], under_test(db)
    kept = [figures.tested(each, tests.get(each.watch.uid)) for each in found if isinstance(each, Figures)]
    to_plan = [_to_keep(each, settings, by_day(now, ZoneInfo(settings.zone)), away) for each in kept]
    to_plan += [_to_keep_waiting(each) for each in found if isinstance(each, Waiting)]
    replan(db, to_plan, settings.notice_h, now)
    cues.judge(db, kept, settings, now)
    return kept


@dataclass(frozen=True, slots=True)
class Line:
    """The watches whose estimate does not hold, in the order they are worked out, and how many watches there are.

    `missed` are those of which nothing is known yet or whose log has moved on: the latter first, each in the order of the
    register: those kept going, others in use, those put away. `aged` only grew older by a day.
    """

    missed: list[str]
    aged: list[str]
    of: int


def line(db: Database, now: datetime, watch_uids: Collection[str] | None = None) -> Line:
    """Who is in line to be worked out, of these watches or of all."""
    settings, stored = preferences_of(db).values, estimates.read_keys(db, watch_uids)
    today, threshold = today_of(now, settings), threshold_of(settings)
    counted = sensing.counters_in_order(db)
    places = counted if watch_uids is None else {uid: counted[uid] for uid in watch_uids if uid in counted}
    found: dict[Freshness, list[str]] = {"behind": [], "none": [], "aged": [], "holds": []}
    for uid, counter in places.items():
        found[freshness(stored.get(uid), counter, today, threshold)].append(uid)
    return Line(found["behind"] + found["none"], found["aged"], len(places))


def in_line(db: Database, now: datetime) -> list[str]:
    """All of them, one after another."""
    waiting = line(db, now)
    return waiting.missed + waiting.aged


def work_out_one(store: Store, uid: str, now: datetime) -> None:
    """Work out a watch, and keep it if its log has not moved on meanwhile; the file is locked only to keep it."""
    worked = workedout.work_out(store.reading(), uid, now)
    if worked is not None:
        with store.change() as db:
            keep(db, [worked], now)


def catch_up(
    store: Store, now: datetime, watch_uids: Collection[str] | None = None, progress: Progress | None = None
) -> int:
    """Work out, in this process, what does not hold: of these watches, or of all; returns how many there were.

    It begins at the end of the line, and leaves out what another process has worked out meanwhile: a worker that began
    at its head is met in the middle.
    """
    waiting = [uid for uid in in_line(store.reading(), now) if watch_uids is None or uid in watch_uids]
    for uid in reversed(waiting):
        left = {*waiting} & {*in_line(store.reading(), now)}
        if progress:
            progress(len(waiting) - len(left), len(waiting))
        if uid in left:
            work_out_one(store, uid, now)
    if progress and waiting:
        progress(len(waiting), len(waiting))
    return len(waiting)


def recompute(store: Store, now: datetime, progress: Progress | None = None) -> int:
    """Throw the cache away and rebuild it from the log; returns how many watches were worked out."""
    with store.change() as db:
        estimates.forget_estimates(db)
    return catch_up(store, now, progress=progress)


def _to_keep(each: Figures, settings: Settings, tell_from: datetime, away: Sequence[Away]) -> KeptWatch:
    run, heard_run = each.history.current, each.history.last.heard_run
    calls = each.watch.kept and each.test is None
    if heard_run is not None:
        wind_uid, started_at = heard_run
        stopped_at = each.history.last.since
        told = calls and stopped_at is not None and not named_at_return(each, stopped_at, away)
        return KeptWatch(
            watch_uid=each.watch.uid,
            nickname=each.watch.nickname,
            wind_uid=wind_uid,
            started_at=started_at,
            wind_by=None,
            stopped_at=stopped_at if told else None,
            tell_from=tell_from,
        )
    by, chance = each.standing.wind_by, last_chance(each, settings, away)
    at_return = by is not None and chance.in_digest and named_at_return(each, by, away)
    return KeptWatch(
        watch_uid=each.watch.uid,
        nickname=each.watch.nickname,
        wind_uid=run.wind_uid if run else "",
        started_at=run.started_at if run else None,
        wind_by=by if wants_last_call(each, settings, away) and not at_return else None,
        urgent=each.watch.stake == "calendar",
        wind_by_to_come=each.behind and run_to_look_at(each.watch, each.history, None) is not None,
        look_at=each.offer.at if each.watch.kept and run and each.offer else None,
        last_round=chance.last_round,
        in_digest=chance.in_digest,
    )


def _to_keep_waiting(each: Waiting) -> KeptWatch:
    """Of a run whose wind-by is still to come, what was planned stays."""
    run = each.history.current
    counts = run is not None and (run.counts_as_full or bool(run.acts))
    unknown = each.watch.kept and counts and each.history.last.state != "stopped"
    return KeptWatch(
        watch_uid=each.watch.uid,
        nickname=each.watch.nickname,
        wind_uid=run.wind_uid if run else "",
        started_at=run.started_at if run else None,
        wind_by=None,
        wind_by_to_come=unknown,
    )
