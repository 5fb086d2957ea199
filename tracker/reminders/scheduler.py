"""The bell: it rings every few seconds and whenever the clock was set or the machine slept. It knows nothing else."""

import logging
import threading
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import IO, Any

from tracker import clock
from tracker.collection import preferences
from tracker.reminders.deliver import send
from tracker.reminders.ring import Send, ring
from tracker.reminders.role import take_role
from tracker.speaking import speak_by
from tracker.store.store import Store

ROLE = "reminding"
HEARTBEAT_S = 20
LOOK_S = 5.0
JUMP_S = 3.0
LOOKS = timedelta(minutes=5)
"""How often it is looked what has come about without a change of the log: turns of a winder, or none."""

Before = Callable[[Store, datetime, datetime | None], None]
"""Brings up to date what is to be told, at a moment, last done at another."""

_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Reading:
    """Both clocks at one moment."""

    wall: datetime
    monotonic_s: float


def read_clocks() -> Reading:
    """Both clocks now."""
    return Reading(clock.now(), clock.monotonic_s())


def jumped(before: Reading, after: Reading) -> bool:
    """Whether the wall clock was set between two readings, either way, or the machine slept: its monotonic clock stops."""
    passed_s = (after.wall - before.wall).total_seconds()
    return abs(passed_s - (after.monotonic_s - before.monotonic_s)) > JUMP_S


class Bell:
    """Rings for one collection from `start` to `stop`, while no other process does.

    APScheduler is nothing but the spring of it: which reminders are due stands in the database alone, since a job
    store's own times go wrong when a clock is set. `before` is called before it rings, when anything was written since it
    was called last, and now and then.
    """

    def __init__(self, store: Store, *, send: Send = send, before: Before | None = None) -> None:
        self._store = store
        self._before = before
        self._looked: datetime | None = None
        self._versions: dict[int, int] = {}
        self._send = send
        self._ringing = threading.Lock()
        self._stopping = threading.Event()
        self._role: IO[str] | None = None
        self._last_rung: datetime | None = None
        self._scheduler: Any = None
        self._watchdog = threading.Thread(target=self._watch, name="watchdog", daemon=True)

    def last_rung(self) -> datetime | None:
        """When it last rang to the end; None if not yet, or while another process rings."""
        return self._last_rung

    def start(self) -> None:
        """Ring at once, for what came due while nobody was looking, and from then on."""
        self._scheduler = _spring()
        self._scheduler.start()
        self._watchdog.start()

    def stop(self) -> None:
        """Ring no more; a ring under way ends first."""
        self._stopping.set()
        if self._scheduler is not None:
            self._watchdog.join()
            self._scheduler.shutdown()
        if self._role is not None:
            self._role.close()

    def ring(self) -> None:
        """Ring until nothing waits; what goes wrong is logged and left to the next time."""
        with self._ringing:
            try:
                self._role = self._role or take_role(self._store.path.parent, ROLE)
                while self._role and not self._stopping.is_set() and self._ring_once():
                    pass
            except Exception:  # noqa: BLE001 -- the bell must go on
                _log.exception("The bell could not ring.")

    def _ring_once(self) -> bool:
        speak_by(preferences(self._store).values)
        self._look_before()
        more = ring(self._store, clock.now(), preferences(self._store).zone, self._send)
        self._last_rung = clock.now()
        return more

    def _look_before(self) -> None:
        """Bring up to date what hangs on time or on all watches; what goes wrong with it holds up no reminder."""
        now = clock.now()
        written = self._written()
        if self._before is None or (self._looked is not None and not written and abs(now - self._looked) < LOOKS):
            return
        looked, self._looked = self._looked, now
        try:
            self._before(self._store, now, looked)
        except Exception:  # noqa: BLE001 -- the bell must go on
            _log.exception("What is to be told of rounds and winders could not be looked at.")

    def _written(self) -> bool:
        """Whether anyone else wrote since this thread asked last; each thread has a connection, and a count, of its own."""
        thread, version = threading.get_ident(), self._store.changes_of_others()
        before, self._versions[thread] = self._versions.get(thread), version
        return version != before

    def _watch(self) -> None:
        before = read_clocks()
        self._ring_and_wind()
        while not self._stopping.wait(LOOK_S):
            before = self.look(before)

    def look(self, before: Reading) -> Reading:
        """Compare the clocks with an earlier reading of them, and ring if one of them jumped."""
        after = read_clocks()
        if jumped(before, after):
            self._ring_and_wind()
        return after

    def _ring_and_wind(self) -> None:
        # After a clock was set back the next heartbeat would be as far off as it was moved.
        _wind(self._scheduler, self.ring)
        self.ring()


def _spring() -> Any:
    from apscheduler.executors.pool import ThreadPoolExecutor  # noqa: PLC0415 -- only who rings needs it
    from apscheduler.schedulers.background import BackgroundScheduler  # noqa: PLC0415 -- as above

    return BackgroundScheduler(
        # One thread: each that rings keeps a connection to the file.
        executors={"default": ThreadPoolExecutor(1)},
        # Of rings that were missed, one, however late.
        job_defaults={"misfire_grace_time": None, "coalesce": True, "max_instances": 1},
        timezone="UTC",
    )


def _wind(scheduler: Any, ring_it: Callable[[], None]) -> None:
    """Have it ring at every heartbeat, counted from now."""
    scheduler.add_job(ring_it, "interval", seconds=HEARTBEAT_S, id="heartbeat", replace_existing=True)
