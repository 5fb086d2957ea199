"""The turns that winders were heard to make: a watch's by hour, and as acts that wind it."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta

from sqlite_utils import Database

from sensors.turns import Hour
from tracker import sensing
from tracker.core.acts import LOOKED_BACK, Act
from tracker.core.watch import Watch
from tracker.core.winderfinding import turns_a_day, useful
from tracker.store import heard as rows
from tracker.store.heard import Seat
from tracker.store.sensed import reading as sensed

A_DAY = timedelta(days=1)
KNOWN_H = 12.0
"""Of a day of which less is known nobody knows the turns."""


def acts(db: Database, watches: Sequence[Watch], now: datetime) -> dict[str, list[Act]]:
    """The turns of each day of each watch that sat on a winder of late, days counted back from now."""
    seats = rows.seats(db, [watch.uid for watch in watches if watch.by_rotor], "winder")
    by_uid = {watch.uid: watch for watch in watches}
    return {uid: list(_acts(db, by_uid[uid], each, now)) for uid, each in seats.items()}


def hours(db: Database, seats: Sequence[Seat], begin: datetime, end: datetime) -> list[Hour]:
    """The turns of a watch by hour, those of all its channels together, from when it sat there."""
    told = sensing.file_of(db)
    if told is None:
        return []
    by_hour: dict[int, list[Hour]] = defaultdict(list)
    for seat in seats:
        from_s = max(begin, seat.since).timestamp()
        until_s = (end if seat.until is None else min(end, seat.until)).timestamp()
        for each in sensed.turns(told, seat.sensor_uid, from_s, until_s):
            by_hour[each.hour].append(each)
    return [_together(each) for _, each in sorted(by_hour.items())]


def _acts(db: Database, watch: Watch, seats: Sequence[Seat], now: datetime) -> Iterator[Act]:
    begin = now - LOOKED_BACK
    made = hours(db, seats, begin, now)
    for day in range(LOOKED_BACK // A_DAY):
        start = begin + day * A_DAY
        rate = turns_a_day(made, start, start + A_DAY)
        known = rate is not None and rate.known_h >= KNOWN_H
        yield Act(start, 0.0, "on winder", useful(rate, watch.winder_way or "both") if rate and known else None)


def _together(channels: Sequence[Hour]) -> Hour:
    """Turns add up; what is known is known of all channels only where it is of each."""
    return Hour(
        channels[0].hour,
        sum(each.clockwise for each in channels),
        sum(each.anticlockwise for each in channels),
        sum(each.not_known for each in channels),
        min(each.heard_s for each in channels),
        min(each.bridged_s for each in channels),
    )
