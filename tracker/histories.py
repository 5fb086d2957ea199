"""The log of a watch and what its sensors heard, read together: the one place where a history is made."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from sqlite_utils import Database

from tracker import sensing
from tracker.core.heard import Heard, Question
from tracker.core.rundown import History, run_downs
from tracker.core.sensed import sensed
from tracker.core.timeline import Entry, OnWinder
from tracker.core.watch import Watch
from tracker.foresight import earliest, prior_of
from tracker.store import heard as rows
from tracker.store import log
from tracker.store.heard import Seat


@dataclass(frozen=True, slots=True)
class Told:
    """What people noted of a watch, the history that this and its sensors make, and what is asked about the latter."""

    entries: Sequence[Entry]
    history: History
    questions: tuple[Question, ...] = ()


def histories(db: Database, watches: Sequence[Watch]) -> dict[str, Told]:
    """Read these watches' logs and sensors."""
    uids = [watch.uid for watch in watches]
    entries: Mapping[str, Sequence[Entry]] = log.entries(db, uids)
    heard, seats = sensing.heard(db, uids), rows.seats(db, uids, "winder")
    noted = {uid: [*entries.get(uid, ()), *_on_winders(seats.get(uid, ()))] for uid in uids}
    return {watch.uid: told(watch, noted[watch.uid], heard.get(watch.uid)) for watch in watches}


def _on_winders(seats: Iterable[Seat]) -> Iterator[OnWinder]:
    """A watch that was said to sit on a winder channel was put there, and taken off when it was said to sit there no more.

    Two channels of one seat say the same twice, which changes nothing.
    """
    for seat in seats:
        yield OnWinder(uid=f"{seat.sensor_uid}@{seat.since:%Y%m%dT%H%M%S}+", at=seat.since, zone="UTC", act="on")
        if seat.until is not None:
            yield OnWinder(uid=f"{seat.sensor_uid}@{seat.until:%Y%m%dT%H%M%S}-", at=seat.until, zone="UTC", act="off")


def told(watch: Watch, entries: Sequence[Entry], heard: Heard | None) -> Told:
    """The history of one watch; `heard` is None if no sensor ever lay under it."""
    if heard is None:
        return Told(entries, run_downs(watch, entries))
    both = sensed(watch, entries, heard, partial(earliest, prior_of(watch)))
    return Told(entries, run_downs(watch, both.notes), both.questions)
