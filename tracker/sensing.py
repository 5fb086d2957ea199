"""What rest sensors heard of watches: read from the sensors' own file beside the collection.

A collection without that file, or in which no watch ever lay on a sensor, pays for one look at an empty table.
"""

from collections.abc import Collection, Iterable, Mapping
from datetime import UTC, datetime, timedelta
from weakref import WeakKeyDictionary

from sqlite_utils import Database

from sensors.misfit import misfit
from sensors.rest import Setup
from tracker.core.heard import Answered, Halt, Heard, Question, Spell
from tracker.core.rundown import History
from tracker.core.stillheard import still_heard
from tracker.store import heard as rows
from tracker.store import register, sensors
from tracker.store.heard import Seat
from tracker.store.sensed import reading as sensed
from tracker.store.sensed.migrations import FILE_NAME, open_sensed
from tracker.store.sensed.reading import Condition
from tracker.store.store import Store

LOOKED_BACK_S = 86_400.0
"""So far back it is looked whether another watch lies there."""

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_beside: WeakKeyDictionary[Database, Store] = WeakKeyDictionary()


def counters(db: Database) -> dict[str, int]:
    """How often what is known of each watch has changed: its log, and what its sensors make of it.

    Both only rise; what is cached is good for one count only.
    """
    return _counted(db, register.log_counters(db))


def counters_in_order(db: Database) -> dict[str, int]:
    """As `counters`, of the watches of the register alone, in its order."""
    return _counted(db, register.log_counters_in_order(db))


def _counted(db: Database, log: Mapping[str, int]) -> dict[str, int]:
    seated = rows.ever_seated(db)
    told = file_of(db) if seated else None
    if told is None:
        return dict(log)
    counts = sensed.counters(told, {uid for uids in seated.values() for uid in uids})
    return {uid: count + sum(counts[each] for each in seated.get(uid, ())) for uid, count in log.items()}


def changes(db: Database) -> int:
    """A number that rises whenever a sensor under any watch tells something that must be looked at anew."""
    seated = rows.ever_seated(db)
    told = file_of(db) if seated else None
    sensors = {uid for uids in seated.values() for uid in uids}
    return 0 if told is None else sum(sensed.counters(told, sensors).values())


def heard(db: Database, watch_uids: Collection[str]) -> dict[str, Heard]:
    """What was heard of these watches; those that never lay on a rest sensor are left out."""
    seats = rows.seats(db, watch_uids)
    told = file_of(db) if seats else None
    if told is None:
        return {}
    answers = rows.answers(db, list(seats))
    return {uid: _heard(told, lain, answers.get(uid, ())) for uid, lain in seats.items()}


def carried_on(db: Database, histories: Mapping[str, History]) -> dict[str, History]:
    """These histories, of a watch that is heard going still up to its newest reading: that alone moves no count."""
    going = [uid for uid, history in histories.items() if history.last.state == "going" and history.last.since]
    seats = rows.seats(db, going) if going else {}
    told = file_of(db) if seats else None
    if told is None:
        return dict(histories)
    found = dict(histories)
    for uid, lain in seats.items():
        for spell in _spells(told, lain[-1], found[uid].last.since or _EPOCH):
            found[uid] = still_heard(found[uid], spell)
    return found


def another_watch(db: Database, watch_uid: str) -> Question | None:
    """Whether what beats on this watch's sensor by now is not this watch."""
    seats = [seat for seat in rows.seats(db, [watch_uid]).get(watch_uid, ()) if seat.until is None]
    told = file_of(db) if seats else None
    sensor = sensors.sensor(db, seats[-1].sensor_uid) if seats else None
    if told is None or sensor is None or not isinstance(sensor.setup, Setup):
        return None
    came = sensed.heard(told).get(sensor.uid)
    if came is None or came.newest_s is None:
        return None
    since_s = max(came.newest_s - LOOKED_BACK_S, seats[-1].since.timestamp())
    raw = sensed.readings(told, sensor.uid, since_s, came.newest_s)
    found = misfit(sensor.setup, [(each.at_s, each.value) for each in raw])
    if found is None:
        return None
    since, until = map(_moment, found)
    return Question(asking="another watch", sensor_uid=sensor.uid, since=since, until=until)


def condition(db: Database) -> Condition | None:
    """How the listener fares, as it last wrote; None if it never ran for this collection."""
    told = file_of(db)
    return None if told is None else sensed.health(told)


def _heard(told: Database, seats: Iterable[Seat], answers: Iterable[Answered]) -> Heard:
    return Heard(
        spells=tuple(spell for seat in seats for spell in _spells(told, seat, seat.since)),
        halts=tuple(halt for seat in seats for halt in _halts(told, seat)),
        laid=tuple(seat.since for seat in seats),
        answers=tuple(answers),
    )


def _spells(told: Database, seat: Seat, since: datetime) -> list[Spell]:
    """The going spans of a sensor while this watch lay on it, cut to that time."""
    found = []
    for span in sensed.spans(told, seat.sensor_uid, since.timestamp(), _until_s(seat)):
        start, end = max(_moment(span.from_s), seat.since), _moment(span.to_s)
        end = end if seat.until is None else min(end, seat.until)
        if span.state == "going" and start <= end:
            found.append(Spell(sensor_uid=seat.sensor_uid, start=start, end=end))
    return found


def _halts(told: Database, seat: Seat) -> list[Halt]:
    return [
        Halt(sensor_uid=seat.sensor_uid, after=_moment(stop.after_s), before=_moment(stop.before_s))
        for stop in sensed.stops(told, seat.sensor_uid, seat.since.timestamp(), _until_s(seat))
        if _moment(stop.after_s) >= seat.since and (seat.until is None or _moment(stop.before_s) <= seat.until)
    ]


def _until_s(seat: Seat) -> float:
    return float("inf") if seat.until is None else seat.until.timestamp()


def _moment(at_s: float) -> datetime:
    return _EPOCH + timedelta(seconds=at_s)


def file_of(db: Database) -> Database | None:
    """The sensors' file beside this collection, if there is one; held open as long as the collection's connection is."""
    if db not in _beside:
        folder = rows.folder_of(db)
        if folder is None or not (folder / FILE_NAME).exists():
            return None
        _beside[db] = open_sensed(folder)
    return _beside[db].reading()
