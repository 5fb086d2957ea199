"""Whether what is stored of derived figures is what the log gives."""

from contextlib import closing
from datetime import datetime
from functools import lru_cache
from pathlib import Path

from tracker import figures
from tracker.store import register
from tracker.store.store import Store

# A loop of faults asks for the same few logs over and over.
_worked_out_anew = lru_cache(maxsize=64)(figures.work_out_estimate)


def check_cache(path: Path, now: datetime) -> int:
    """Every watch has a cached estimate that holds and equals the one worked out anew; returns how many were compared.

    Reads only.
    """
    with closing(Store(path)) as store:
        db = store.reading()
        found = figures.work_out(db, [*register.watches(db), *register.watches(db, archived=True)], now)
    for each in found:
        assert not each.fresh, f"a change left {each.watch.nickname} behind"
        assert each.estimate == _worked_out_anew(each.watch, each.segment, each.key.threshold), each.watch.nickname
    return len(found)
