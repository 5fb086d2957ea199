"""The log of a watch and what its sensors heard, read together: the one place where a history is made."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from sqlite_utils import Database

from tracker import sensing
from tracker.core.heard import Heard, Question
from tracker.core.rundown import History, run_downs
from tracker.core.sensed import sensed
from tracker.core.timeline import Entry
from tracker.core.watch import Watch
from tracker.foresight import earliest, prior_of
from tracker.store import log


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
    heard = sensing.heard(db, uids)
    return {watch.uid: told(watch, entries.get(watch.uid, ()), heard.get(watch.uid)) for watch in watches}


def told(watch: Watch, entries: Sequence[Entry], heard: Heard | None) -> Told:
    """The history of one watch; `heard` is None if no sensor ever lay under it."""
    if heard is None:
        return Told(entries, run_downs(watch, entries))
    both = sensed(watch, entries, heard, partial(earliest, prior_of(watch)))
    return Told(entries, run_downs(watch, both.notes), both.questions)
