"""Bringing what is derived up to date: estimates and reminders, in the transaction of the change that moved them."""

from collections.abc import Iterable, Sequence
from datetime import datetime

from sqlite_utils import Database

from tracker import figures
from tracker.collection import preferences_of
from tracker.core.watch import Watch
from tracker.figures import Figures
from tracker.reminders.outbox import replan
from tracker.reminders.plan import KeptWatch
from tracker.store import register
from tracker.store.estimates import forget_estimate, forget_estimates
from tracker.store.store import Store


def refresh(db: Database, watch_uids: Iterable[str], now: datetime) -> None:
    """Work out these watches anew and plan their reminders."""
    touched = set(watch_uids)
    gone = [uid for uid in touched if register.watch(db, uid) is None]
    _refresh(db, [watch for watch in _all(db) if watch.uid in touched], gone, now)


def refresh_all(db: Database, now: datetime) -> None:
    """Work out every watch anew, as after a change of preferences."""
    _refresh(db, _all(db), [], now)


def recompute(store: Store, now: datetime) -> int:
    """Throw the cache away and rebuild it from the log; returns how many watches were worked out."""
    with store.change() as db:
        forget_estimates(db)
        refresh_all(db, now)
        return len(_all(db))


def _all(db: Database) -> list[Watch]:
    return register.watches(db) + register.watches(db, archived=True)


def _refresh(db: Database, watches: Sequence[Watch], gone: Sequence[str], now: datetime) -> None:
    found = figures.work_out(db, watches, now)
    figures.keep(db, found)
    for uid in gone:
        forget_estimate(db, uid)
    replan(db, [_to_keep(each) for each in found], preferences_of(db).values.notice_h, now, gone=gone)


def _to_keep(each: Figures) -> KeptWatch:
    run = each.history.current
    wanted = each.watch.kept and run is not None
    return KeptWatch(
        watch_uid=each.watch.uid,
        nickname=each.watch.nickname,
        wind_uid=run.wind_uid if run else "",
        started_at=run.started_at if run else None,
        wind_by=each.standing.wind_by if wanted else None,
    )
