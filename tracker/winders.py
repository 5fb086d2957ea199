"""Winders looked at: what the turns of each seat say of the watch on it, and the reminders of that."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime, timedelta

from sqlite_utils import Database

from tracker import sensing, turnsmade
from tracker.collection import preferences_of
from tracker.core.watch import Watch
from tracker.core.winderfinding import PAUSE_H, WINDOW_H, Need, Rate, find, turns_a_day
from tracker.core.winderfinding import Seat as Sitting
from tracker.figures import Figures, Waiting, look
from tracker.reminders.outbox import replan_winders
from tracker.reminders.reminder import WINDER, winder_from_row
from tracker.reminders.winderfacts import WinderFacts
from tracker.store import register, reminders
from tracker.store import sensors as shelf
from tracker.store.heard import Seat
from tracker.store.store import Store

LOOKED_BACK = timedelta(days=14)
"""Turns older than this tell nothing of how it is now."""


def judge(store: Store, now: datetime) -> None:
    """Bring the reminders of all winders to what their turns say now; without a winder that is one look at the tables."""
    db = store.reading()
    seats = seated(db)
    told = {row["subject_uid"] for row in reminders.open_rows(db, WINDER)}
    watches = sorted(seats.keys() | told)
    if not watches:
        return
    found = {uid: facts for uid in seats if (facts := facts_of(store, uid, seats[uid], now)) is not None}
    with store.change() as changing:
        replan_winders(changing, watches, found, now)


def seated(db: Database) -> dict[str, list[Seat]]:
    """Who sits on a winder now: by watch, its channels (two, where each direction has its own)."""
    channels = {each.uid for each in shelf.sensors(db) if each.kind == "winder"}
    seats = defaultdict(list)
    for each in shelf.assignments(db) if channels else ():
        if each.to_s is None and each.sensor_uid in channels:
            seats[each.watch_uid].append(Seat(each.sensor_uid, datetime.fromtimestamp(each.from_s, UTC), None))
    return dict(seats)


def facts_of(store: Store, watch_uid: str, seats: Sequence[Seat], now: datetime) -> WinderFacts | None:
    """What is found of a watch on its winder, if anything; nothing of one that is put away or a customer's."""
    db = store.reading()
    watch = register.watch(db, watch_uid)
    if watch is None or watch.archived_at is not None or watch.customers:
        return None
    before = held(db, watch_uid)
    seat = _seat(store, watch, seats, now)
    found = find(before.finding if before else None, seat, now)
    if found is None:
        return None
    return WinderFacts(
        nickname=watch.nickname,
        word=found.word,
        since=found.since.replace(microsecond=0),
        a_day=found.a_day,
        stops_at=found.stops_at,
        needs_a_day=seat.need.turns_a_day,
        way=seat.need.way,
        whose=seat.need.whose,
    )


def _seat(store: Store, watch: Watch, seats: Sequence[Seat], now: datetime) -> Sitting:
    db, each = store.reading(), look(store, watch.uid, now)
    condition = sensing.condition(db)
    listening = condition is not None and condition.state == "listening"
    pause_h = watch.winder_pause_h or PAUSE_H
    since_s = condition.since_s if condition is not None else now.timestamp()
    return Sitting(
        hours=turnsmade.hours(db, seats, now - LOOKED_BACK, now),
        on_since=on_since(seats),
        need=need_of(watch),
        pause_h=pause_h,
        notice_h=preferences_of(db).values.notice_h,
        stops_at=_stops_at(each, now),
        holds=isinstance(each, Figures) and each.kept_wound,
        stopped_at=each.history.last.since if each.history.last.state == "stopped" else None,
        listened=listening and now.timestamp() - since_s >= pause_h * 3600.0,
    )


def need_of(watch: Watch) -> Need:
    """What it needs a day by its owner's figures; what the owner did not say is as usual."""
    way = watch.winder_way or "both"
    return Need(way=way) if watch.winder_turns_a_day is None else Need(watch.winder_turns_a_day, way, "owner")


def on_since(seats: Sequence[Seat]) -> datetime:
    """Since when the watch sits there."""
    return max(each.since for each in seats)


def _stops_at(each: Figures | Waiting, now: datetime) -> datetime | None:
    """When it would stop, as likely sooner as later, if its winder goes on as of late; None if it holds, or nobody knows."""
    if isinstance(each, Waiting) or each.kept_wound or each.standing.left_h is None:
        return None
    return now + timedelta(hours=each.standing.left_h.mid)


def lately(db: Database, seats: Mapping[str, Sequence[Seat]], watch_uid: str, now: datetime) -> Rate | None:
    """The turns a day of a watch on its winder over the last three days, as far as they are known."""
    begin = now - timedelta(hours=WINDOW_H)
    return turns_a_day(turnsmade.hours(db, seats[watch_uid], begin, now), begin, now) if watch_uid in seats else None


def held(db: Database, watch_uid: str) -> WinderFacts | None:
    """What is found of the winder of a watch and still stands."""
    rows = reminders.open_rows(db, WINDER)
    return next((winder_from_row(row).facts for row in rows if row["subject_uid"] == watch_uid), None)


def to_open(db: Database) -> list[tuple[str, WinderFacts]]:
    """The watches that stopped though they got turns enough, with what was found: a cue to have them looked at."""
    facts = [(row["subject_uid"], winder_from_row(row).facts) for row in reminders.open_rows(db, WINDER)]
    return sorted(
        (each for each in facts if each[1].word == "enough turns, yet stopped"), key=lambda each: each[1].since
    )
