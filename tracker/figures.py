"""What is known of each watch at a moment: its log read, its reserve estimated, its state now."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache, partial
from weakref import WeakKeyDictionary
from zoneinfo import ZoneInfo

from sqlite_utils import Database

from tracker.collection import preferences_of
from tracker.commands.settings import Settings
from tracker.core.heldback import HELD_RISK, Held, held_back
from tracker.core.reserve import MODEL_VERSION, Estimate, Prior, Run, estimate, prior_for
from tracker.core.rundown import History, run_downs
from tracker.core.segment import Segment, present_segment
from tracker.core.standing import Standing, standing
from tracker.core.watch import Stake, Watch
from tracker.core.windby import Risk, hours_at_risk, risk_for
from tracker.errors import NotFound
from tracker.store import estimates, log, register
from tracker.store.estimates import Key
from tracker.store.store import Store
from tracker.words import say


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """One watch with all that is derived of it at one moment.

    `held` is the run that is held back, with its question. `fresh` tells that the estimate was worked out just now and is not yet kept under `key`.
    """

    watch: Watch
    history: History
    held: Held | None
    segment: Segment
    estimate: Estimate
    risk: Risk
    standing: Standing
    key: Key
    fresh: bool


ReadBefore = dict[str, tuple[int, History, Held | None]]
"""Histories by watch with what is held back of them, each with the count of its log that it was read at."""

_read_before: WeakKeyDictionary[Store, ReadBefore] = WeakKeyDictionary()


def collect(store: Store, now: datetime, *, archived: bool = False) -> list[Figures]:
    """Every watch in use (or, with `archived`, put away) by nickname, as it stands now."""
    return _kept(store, register.watches(store.reading(), archived=archived), now)


def one(store: Store, uid: str, now: datetime) -> Figures:
    """One watch as it stands now.

    Raises:
        NotFound: there is no such watch.
    """
    watch = register.watch(store.reading(), uid)
    if watch is None:
        raise NotFound(say("There is no such watch, or no longer."))
    return _kept(store, [watch], now)[0]


def _kept(store: Store, watches: Sequence[Watch], now: datetime) -> list[Figures]:
    figures = work_out(store.reading(), watches, now, _read_before.setdefault(store, {}))
    if any(each.fresh for each in figures):
        with store.change() as db:
            keep(db, figures)
    return figures


def work_out(
    db: Database, watches: Sequence[Watch], now: datetime, read_before: ReadBefore | None = None
) -> list[Figures]:
    """Derive everything of these watches, with their cached estimates where those still hold.

    `read_before` holds histories of committed logs and is filled with those read now; none inside a change, whose
    counters may come again with another log if it is rolled back.
    """
    settings = preferences_of(db).values
    midnight, threshold = _midnight(now, settings.zone), settings.fall_percent / 100
    # Counters come first: a log that grows meanwhile is then kept under a count that no longer holds.
    counters, cache = register.log_counters(db), estimates.read_estimates(db)
    histories = _histories(db, watches, counters, {} if read_before is None else read_before)
    figures = []
    for watch in watches:
        history, held_run = histories[watch.uid]
        segment = present_segment(history, midnight, held_run.run_uid if held_run else None)
        key = Key(counters[watch.uid], str(MODEL_VERSION), segment.asked_at.date().isoformat(), threshold)
        held = cache.get(watch.uid)
        fresh = held is None or held[0] != key
        found = work_out_estimate(watch, segment, threshold) if held is None or fresh else Estimate.from_dict(held[1])
        figures.append(_figures(watch, history, held_run, segment, found, settings, key, fresh=fresh, now=now))
    return figures


def _histories(
    db: Database, watches: Sequence[Watch], counters: Mapping[str, int], read_before: ReadBefore
) -> dict[str, tuple[History, Held | None]]:
    unread = [watch for watch in watches if read_before.get(watch.uid, (None,))[0] != counters[watch.uid]]
    entries = log.entries(db, [watch.uid for watch in unread])
    for watch in unread:
        history = run_downs(watch, entries.get(watch.uid, ()))
        read_before[watch.uid] = (counters[watch.uid], history, held_back(history, partial(_held_point, _prior(watch))))
    return {watch.uid: read_before[watch.uid][1:] for watch in watches}


@lru_cache(maxsize=4096)
def _held_point(prior: Prior, runs: tuple[Run, ...], age_years: float) -> float:
    """Kept between calls: the same few early runs are asked of again at every new entry."""
    return hours_at_risk(estimate(runs, prior, now_years=age_years).next_run, HELD_RISK)


def _prior(watch: Watch) -> Prior:
    return prior_for(watch.stated_reserve_h, watch.reserve_class)


def keep(db: Database, figures: Sequence[Figures]) -> None:
    """Put fresh estimates into the cache."""
    for each in figures:
        if each.fresh:
            estimates.write_estimate(db, each.watch.uid, each.key, each.estimate.to_dict())


def _figures(  # noqa: PLR0917 -- the parts of one value, each named
    watch: Watch,
    history: History,
    held: Held | None,
    segment: Segment,
    found: Estimate,
    settings: Settings,
    key: Key,
    *,
    fresh: bool,
    now: datetime,
) -> Figures:
    run = history.current
    believed_h = held.seen_going_h if held and run and held.run_uid == run.wind_uid else None
    risk = risk_for(found.next_run, stops_a_year(settings, watch.stake))
    return Figures(
        watch=watch,
        history=history,
        held=held,
        segment=segment,
        estimate=found,
        risk=risk,
        standing=standing(history, found.next_run, risk.p, now, believed_h),
        key=key,
        fresh=fresh,
    )


def work_out_estimate(watch: Watch, segment: Segment, threshold: float) -> Estimate:
    """Estimate the reserve of a watch, and its falls by this share, from the runs that speak for it today."""
    prior, least_h = _prior(watch), watch.least_reserve_h
    return estimate(segment.runs, prior, now_years=segment.now_years, threshold=threshold, least_h=least_h)


def stops_a_year(settings: Settings, stake: Stake) -> float:
    """How many stops a year the owner would accept of a watch of this stake."""
    accepted = {
        "time only": settings.stops_a_year_time_only,
        "date": settings.stops_a_year_date,
        "calendar": settings.stops_a_year_calendar,
    }
    return accepted[stake]


def _midnight(now: datetime, zone: str) -> datetime:
    return now.astimezone(ZoneInfo(zone)).replace(hour=0, minute=0, second=0, microsecond=0).astimezone(now.tzinfo)
