"""Batches of messages to rows: what came, and what is known by it, in one transaction."""

from collections import defaultdict
from collections.abc import Iterable, Sequence

from sqlite_utils import Database

from sensors.intake import Batch, FromSensor, refused
from sensors.seat import handed_over
from sensors.sensor import Assignment, Sensor
from sensors.track import Track, out_of_date, take_up, write
from tracker.store.sensed import writing
from tracker.store.sensed.reading import Heard, Rejection
from tracker.store.store import Store

Rows = list[tuple[int, float, float, bool]]


class Keeper:
    """Writes to sensors.db whatever a batch brings; follows each sensor from the first message on."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._sensors: dict[str, Sensor] = {}
        self._handed_over: dict[str, tuple[float, ...]] = {}
        self._tracks: dict[str, Track] = {}

    def set_up(self, sensors: Sequence[Sensor], assignments: Iterable[Assignment]) -> None:
        """Take the sensors as they are set up now. What is not settled of those that changed is worked out anew at once.

        Raises:
            Unavailable: the file can't be written; nothing was taken.
        """
        seats = defaultdict(list)
        for each in assignments:
            seats[each.sensor_uid].append(each)
        moments = {sensor.uid: handed_over(seats[sensor.uid]) for sensor in sensors if sensor.kind == "rest"}
        changed = [
            sensor
            for sensor in sensors
            if sensor != self._sensors.get(sensor.uid) or moments.get(sensor.uid) != self._handed_over.get(sensor.uid)
        ]
        anew = [sensor for sensor in changed if out_of_date(self._store.reading(), sensor, moments.get(sensor.uid, ()))]
        if anew:
            with self._store.change() as db:
                for sensor in anew:
                    write(db, take_up(db, sensor, moments.get(sensor.uid, ())))
        for sensor in changed:
            self._tracks.pop(sensor.uid, None)
        self._sensors = {sensor.uid: sensor for sensor in sensors}
        self._handed_over = moments

    def keep(self, batch: Batch) -> None:
        """Write a batch as a whole.

        Raises:
            Unavailable: it can't be written now; nothing of it was, and it may be given again.
        """
        try:
            with self._store.change() as db:
                self._keep(db, batch)
        except BaseException:
            # The followers know what the file does not; they are taken up from the file again.
            for uid in batch.sensors:
                self._tracks.pop(uid, None)
            raise

    def _keep(self, db: Database, batch: Batch) -> None:
        rows: Rows = []
        late: list[Rejection] = []
        for uid, heard in batch.sensors.items():
            track = self._tracks.get(uid)
            if track is None:
                track = self._tracks[uid] = take_up(db, heard.sensor, self._handed_over.get(uid, ()))
            late += _take(db, track, heard, rows)
        writing.add_readings(db, rows)
        writing.add_topics(db, batch.topics.values())
        if batch.rejected or late:
            writing.add_rejected(db, [*batch.rejected, *late])
        writing.count_messages(db, batch.messages, batch.arrived_s)

    def forget(self, before_s: float) -> None:
        """Drop raw readings older than a moment; what was found by them stays.

        Raises:
            Unavailable: the file can't be written.
        """
        with self._store.change() as db:
            writing.forget_readings(db, before_s)


def _take(db: Database, track: Track, heard: FromSensor, rows: Rows) -> list[Rejection]:
    number = track.known.number
    late = set(track.follower.add((reading.at_s, reading.value) for reading, _ in heard.readings))
    refusals: list[Rejection] = []
    for reading, message in heard.readings:
        if not late or (reading.at_s, reading.value) not in late:
            rows.append((number, reading.at_s, reading.value, reading.stamped))
        elif not writing.has_reading(db, number, reading.at_s, reading.value):
            refusals.append(refused(heard.sensor, message, reading))
    newest = [reading.at_s for reading, _ in heard.readings]
    if newest:
        track.known = track.known._replace(newest_s=max([*newest, track.known.newest_s or newest[0]]))
    write(db, track)
    writing.count_heard(db, number, _counts(track, heard, len(refusals)))
    return refusals


def _counts(track: Track, heard: FromSensor, refusals: int) -> Heard:
    last = heard.last
    return Heard(
        heard.sensor.uid,
        last.arrived_s,
        last.topic,
        last.payload,
        last.retained,
        track.known.newest_s,
        len(heard.readings) - refusals,
        heard.rejected + refusals,
        heard.queued,
    )
