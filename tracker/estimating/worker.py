"""The worker: a process that works out what does not hold, one watch after another, those asked for first.

`python -m tracker.estimating.worker FOLDER` reads the uids that are asked for from its input, some on each line. It ends
with that input, so that none is left behind when its server is killed; killed itself, it leaves nothing half done.
"""

import gc
import logging
import os
import sys
import threading
import time
from collections.abc import Collection, Iterable, Sequence
from datetime import date
from pathlib import Path

from tracker import clock, derive, sensing
from tracker.asked import today_of
from tracker.collection import FILE_NAME, preferences
from tracker.estimating.helper import RUBBISH, helped
from tracker.estimating.warming import warm
from tracker.reminders.role import take_role
from tracker.store.store import Store

ROLE = "estimating"
LOOK_S = 1.0
"""How often it looks whether another process changed the collection, its sensors told anything new, or a day has begun."""
RETRY_S = 20.0
"""How long it leaves alone what could not be kept."""

_log = logging.getLogger(__name__)


class Asked:
    """The watches that were asked for, the latest first."""

    def __init__(self) -> None:
        self._uids: list[str] = []
        self._changed = threading.Condition()

    def add(self, uids: Collection[str]) -> None:
        """Put these first."""
        with self._changed:
            self._uids = [*uids, *(uid for uid in self._uids if uid not in uids)]
            self._changed.notify()

    def first_of(self, line: Sequence[str]) -> str | None:
        """Whoever of this line is to be worked out next; whatever is asked for and not in it is done with."""
        with self._changed:
            self._uids = [uid for uid in self._uids if uid in line]
            return next(iter([*self._uids, *line]), None)

    def __bool__(self) -> bool:
        return bool(self._uids)

    def wait(self, seconds: float) -> None:
        """Wait until something is asked for, at most so long."""
        with self._changed:
            self._changed.wait_for(lambda: self._uids, seconds)


def work(store: Store, asked: Asked, line: Sequence[str]) -> bool:
    """Work off the line, and whoever joins it, until nobody is in it; whether all of it was kept."""
    stuck = set[str]()
    while uid := asked.first_of([uid for uid in line if uid not in stuck]):
        try:
            derive.work_out_one(store, uid, clock.now())
        except Exception:  # noqa: BLE001 -- the line must go on
            _log.exception("What was worked out of the watch %s could not be kept.", uid)
            stuck.add(uid)
        line = derive.in_line(store.reading(), clock.now())
    return not stuck


def _warm() -> None:
    try:
        warm()
    except Exception:  # noqa: BLE001 -- whoever asks for an estimate is told; until then the line must go on
        _log.exception("What estimates are worked out with could not be loaded.")


def _stay(folder: Path, asked: Asked) -> None:
    store, warmed = Store(folder / FILE_NAME), False
    worked_at: tuple[int, int, date] | None = None
    while True:
        now = (
            store.changes_of_others(),
            sensing.changes(store.reading()),
            today_of(clock.now(), preferences(store).values),
        )
        if now == worked_at and not asked:
            asked.wait(LOOK_S)
            if not asked and not warmed:
                warmed = True
                _warm()
            continue
        line = derive.in_line(store.reading(), clock.now())
        with helped(folder, len(line)):
            done = work(store, asked, line)
        if done:
            worked_at = now
        else:
            asked.wait(RETRY_S)


def _listen(lines: Iterable[str], asked: Asked) -> None:
    for line in lines:
        asked.add(line.split())
    # The server is gone. An estimate under way may take a while, and nobody waits for it.
    os._exit(0)


def main() -> None:
    """Work for the collection in the folder named, until the input ends."""
    gc.set_threshold(RUBBISH)
    asked, folder = Asked(), Path(sys.argv[1])
    threading.Thread(target=_listen, args=(sys.stdin, asked), daemon=True).start()
    while (role := take_role(folder, ROLE)) is None:
        time.sleep(LOOK_S)
    with role:
        _stay(folder, asked)


if __name__ == "__main__":
    main()
