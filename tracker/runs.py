"""Watches at rest that are to run now and then: when their day comes, and the reminders of it."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from sqlite_utils import Database

from tracker.collection import preferences_of
from tracker.commands.settings import Settings
from tracker.core.watch import Watch
from tracker.openrounds import open_rounds
from tracker.planning import in_reach
from tracker.reminders.outbox import by_day, replan_runs
from tracker.reminders.reminder import RUN
from tracker.reminders.runfacts import RunFacts
from tracker.reminders.runplan import NEVER, ToRun
from tracker.store import log, register, reminders
from tracker.store.store import Store

DAY = timedelta(days=1)


def judge(store: Store, now: datetime) -> None:
    """Bring the reminders of runs to the log as it is; without a watch that is to run that is one look at the tables."""
    if not _asked(store.reading()) and not reminders.open_rows(store.reading(), RUN):
        return
    with store.change() as db:
        settings = preferences_of(db).values
        replan_runs(db, [to_run(db, each, settings, now) for each in _asked(db)], now)


def _asked(db: Database) -> list[Watch]:
    return [each for each in register.watches(db, archived=False) if runs_now_and_then(each)]


def runs_now_and_then(watch: Watch) -> bool:
    """Whether the owner asked for it: a watch at rest without a number of days has no day."""
    return watch.habit == "at rest" and watch.habit_every_days is not None and in_reach(watch)


def to_run(db: Database, watch: Watch, settings: Settings, now: datetime) -> ToRun:
    """When its day comes, counted from its newest winding or wear; now if none is noted."""
    every, last = watch.habit_every_days or 1, log.newest_run(db, watch.uid)
    uid, at = last or (NEVER, None)
    due = first_round(at + every * DAY if at else now, settings)
    return ToRun(watch.uid, uid, due, RunFacts(nickname=watch.nickname, every_days=every, last_at=at))


def first_round(moment: datetime, settings: Settings) -> datetime:
    """The owner's first round on the day of a moment, or by day if there is none on it."""
    zone = ZoneInfo(settings.zone)
    midnight = moment.astimezone(zone).replace(hour=0, minute=0, second=0, microsecond=0)
    end = (midnight + DAY).astimezone(moment.tzinfo)
    rounds = open_rounds(settings, midnight.astimezone(moment.tzinfo), end)
    return rounds[0] if rounds and rounds[0] < end else by_day(moment, zone)
