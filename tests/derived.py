"""Whether what is stored of derived figures is what the log gives."""

import json
from contextlib import closing
from datetime import datetime
from pathlib import Path

from tracker import figures
from tracker.store import estimates, register
from tracker.store.store import Store


def check_cache(path: Path, now: datetime) -> int:
    """Every cached estimate whose key still holds equals the one worked out anew; returns how many were compared."""
    with closing(Store(path)) as store:
        db = store.reading()
        cached = estimates.read_estimates(db)
        watches = [*register.watches(db), *register.watches(db, archived=True)]
        held = {each.watch.uid: each for each in figures.work_out(db, watches, now)}
        assert not any(each.fresh for each in held.values()), "a change left a figure behind"
        with store.change() as changing:
            estimates.forget_estimates(changing)
        for each in figures.work_out(db, watches, now):
            assert cached[each.watch.uid] == (each.key, _as_stored(each)), each.watch.nickname
        with store.change() as changing:
            for uid, (key, answer) in cached.items():
                estimates.write_estimate(changing, uid, key, answer)
        return len(held)


def _as_stored(each: figures.Figures) -> dict[str, object]:
    stored: dict[str, object] = json.loads(json.dumps(each.estimate.to_dict()))
    return stored
