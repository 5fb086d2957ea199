"""Whether what is stored of derived figures is what the log gives."""

from collections.abc import Sequence
from contextlib import closing
from datetime import date, datetime
from functools import lru_cache
from pathlib import Path

from tracker import derive, sensing, workedout
from tracker.asked import threshold_of, today_of
from tracker.collection import preferences_of
from tracker.core.heard import Heard
from tracker.core.timeline import Entry
from tracker.core.watch import Watch
from tracker.histories import told
from tracker.known import Answer
from tracker.store import estimates, log, register
from tracker.store.store import Store


# A loop of faults asks for the same few logs over and over.
@lru_cache(maxsize=64)
def _worked_out_anew(
    watch: Watch, entries: Sequence[Entry], heard: Heard | None, today: date, threshold: float
) -> Answer:
    return workedout.answer_of(watch, told(watch, entries, heard), today, threshold)


def check_cache(path: Path, now: datetime, *, to_come: bool = False) -> int:
    """Every watch has a cached estimate that holds and equals the one worked out anew; returns how many were compared.

    With `to_come`, some may still wait to be worked out: what holds is right, and nothing is held to hold that does
    not. Reads only.
    """
    with closing(Store(path)) as store:
        db = store.reading()
        watches, waiting = register.every_watch(db), derive.in_line(db, now)
        assert to_come or not waiting, "a change left some behind"
        settings = preferences_of(db).values
        today, threshold = today_of(now, settings), threshold_of(settings)
        entries = log.entries(db, [watch.uid for watch in watches])
        heard = sensing.heard(db, [watch.uid for watch in watches])
        answers = estimates.read_answers(db, [watch.uid for watch in watches if watch.uid not in waiting])
    for watch in watches:
        if watch.uid not in waiting:
            anew = _worked_out_anew(watch, tuple(entries.get(watch.uid, ())), heard.get(watch.uid), today, threshold)
            assert Answer.from_dict(answers[watch.uid][1]) == anew, watch.nickname
    return len(answers)
