"""The listener: from the broker to committed rows, in one thread; a message is acknowledged once it is kept."""

import logging
import threading
from collections import deque
from collections.abc import Callable
from pathlib import Path
from random import Random
from typing import NamedTuple

from sensors.arrivals import Arrivals
from sensors.brokersettings import BrokerSettings
from sensors.intake import Batch, sort_out
from sensors.keeper import Keeper
from sensors.link import Came, Link, Lost, Spoken
from sensors.topics import Routes, to_subscribe
from tracker import clock
from tracker.errors import Unavailable
from tracker.store.reasons import from_outside, reason
from tracker.store.sensed import plight, writing
from tracker.store.sensed.migrations import FILE_NAME as SENSED_FILE
from tracker.store.sensed.migrations import SENSED
from tracker.store.sensors import assignments, changes, sensors
from tracker.store.store import Store
from tracker.words import say

COLLECTION_FILE = "going.db"
BATCH = 1000
BATCH_S = 0.05
SMALL_WINDOW = 10
"""A broker of MQTT 3.1.1 stops after some messages that nobody acknowledged, often 20: then there is no use in waiting."""
HELD = 10_000
"""No more messages are held in memory while the file can't be written; the rest is left to the broker."""
LOOK_S = 1.0
FORGET_S = 3600.0
KEEP_DAYS = 30.0
DAY_S = 86_400.0
BACKOFF_S = (1.0, 2.0, 4.0, 8.0, 15.0, 30.0, 60.0)
"""Waits between attempts, each shortened by chance so that many clients do not come back at one moment."""

_log = logging.getLogger(__name__)


class State(NamedTuple):
    """How the listener fares: *listening*, *away* or *stopped*; what is wrong, if anything; since when (s since 1970)."""

    state: str
    why: str
    protocol: str
    since_s: float


class Listener:
    """Listens for the sensors that are set up in a collection's folder until it is stopped.

    It goes on whatever happens: a broker that is away, a password refused, a full disk, a locked file. `state` says how
    it fares, also while that can't be written to the file.
    """

    def __init__(self, folder: Path, settings: BrokerSettings, *, keep_days: float = KEEP_DAYS) -> None:
        self.state = State("stopped", "", "", clock.now().timestamp())
        self._folder, self._settings, self._keep_days = folder, settings, keep_days
        self._leaving = threading.Event()
        self._thread = threading.Thread(target=self._run, name="listener", daemon=True)

    def start(self) -> None:
        """Begin to listen, in a thread of its own."""
        self._thread.start()

    def stop(self) -> None:
        """Keep and acknowledge what has come, take leave of the broker, and end the thread."""
        self._leaving.set()
        if self._thread.is_alive():
            self._thread.join()

    def _run(self) -> None:
        ear: Ear | None = None
        chance = Random()  # noqa: S311 -- spreads attempts over time
        attempts = 0
        spoken = self._first_spoken
        while not self._leaving.is_set():
            begun_s = clock.monotonic_s()
            try:
                ear = ear or Ear(self._folder, self._keep_days, self._tell)
                ear.listen(Link(self._settings, spoken), self._leaving)
                break
            except Lost as lost:
                self._tell("away", lost.why, ear=ear)
                if lost.unspoken and spoken == "5" and self._settings.protocol == "any":
                    spoken = "3.1.1"
                    continue
            except Exception as error:  # noqa: BLE001 -- nothing may end the thread that listens
                self._stumbled(error, ear)
            spoken = self._first_spoken
            attempts = 1 if clock.monotonic_s() - begun_s > BACKOFF_S[-1] else attempts + 1
            self._leaving.wait(BACKOFF_S[min(attempts, len(BACKOFF_S)) - 1] * chance.uniform(0.5, 1.0))
        self._tell("stopped", "", ear=ear)
        if ear is not None:
            ear.close()

    @property
    def _first_spoken(self) -> Spoken:
        return "3.1.1" if self._settings.protocol == "3.1.1" else "5"

    def _stumbled(self, error: Exception, ear: "Ear | None") -> None:
        if isinstance(error, Unavailable):
            self._tell("away", error.sentence, ear=ear)
        elif from_outside(error):
            self._tell("away", say("the files can't be read: {why}", why=reason(error)), ear=ear)
        else:
            _log.error("The listener stumbled.", exc_info=error)
            self._tell("away", say("a fault in the program; the log has the details"), ear=ear)

    def _tell(self, state: str, why: str, protocol: str = "", *, ear: "Ear | None") -> None:
        told = (state, why, protocol)
        if told == self.state[:3]:
            return
        self.state = State(*told, clock.now().timestamp())
        level = logging.WARNING if why else logging.INFO
        _log.log(level, "Listener: %s%s", state, f" ({why})" if why else "")
        # First where it can be told at once: the other may wait for long, or fail.
        plight.write(self._folder, *self.state)
        if ear is not None and ear.note(self.state):
            plight.clear(self._folder)


Tell = Callable[..., None]


class Held(NamedTuple):
    """A batch that is to be written, and what is acknowledged then."""

    batch: Batch
    came: list[Came]


class Ear:
    """What stays from connection to connection: the files, the sensors as set up, their followers, when messages came."""

    def __init__(self, folder: Path, keep_days: float, tell: Tell) -> None:
        self._collection = Store(folder / COLLECTION_FILE)
        self._sensed = Store(folder / SENSED_FILE, migrations=SENSED)
        self._collection.prepare()
        self._sensed.prepare()
        self._keeper, self._arrivals, self._routes = Keeper(self._sensed), Arrivals(), Routes(())
        self._keep_days, self._tell = keep_days, tell
        self._changes, self._wanted = -1, set[str]()
        self._held: deque[Held] = deque()
        self._looked_s = self._forgot_s = self._retry_s = -1e9
        self._tries = 0

    def close(self) -> None:
        """Close both files."""
        self._collection.close()
        self._sensed.close()

    def note(self, state: State) -> bool:
        """Write how the listener fares; returns whether that could be written."""
        try:
            with self._sensed.change() as db:
                writing.set_condition(db, state.state, state.since_s, state.why, state.protocol)
        except Unavailable:
            return False
        return True

    def listen(self, link: Link, leaving: threading.Event) -> None:
        """Connect and listen until told to leave.

        Raises:
            Lost: there is no connection, or no more.
            Unavailable: the sensors that are set up can't be read.
        """
        self._held.clear()
        self._look()
        try:
            link.open()
            self._arrivals.connected(clock.now().timestamp())
            self._greet(link)
            link.await_answers()
            self._say_how(link)
            self._serve(link, leaving)
        except BaseException:
            # The broker sends again what was not acknowledged; what came by QoS 0 it does not.
            self._sort(link.take())
            self._write(None)
            link.close(politely=False)
            raise
        self._sort(link.take())
        self._write(link)
        link.close(politely=True)

    def _serve(self, link: Link, leaving: threading.Event) -> None:
        due_s: float | None = None
        while not leaving.is_set():
            now_s = clock.monotonic_s()
            wait_s = LOOK_S / 4 if due_s is None else max(0.0, due_s - now_s)
            link.serve(wait_s, min(BATCH - len(link.came), HELD - self._waiting()))
            now_s = clock.monotonic_s()
            if link.came and due_s is None:
                due_s = now_s + BATCH_S
            if due_s is not None and (now_s >= due_s or self._is_full(link)):
                self._sort(link.take())
                due_s = None
            if self._held and now_s >= self._retry_s:
                self._write(link)
            self._now_and_then(link, now_s)

    @staticmethod
    def _is_full(link: Link) -> bool:
        return len(link.came) >= (SMALL_WINDOW if link.spoken == "3.1.1" else BATCH)

    def _waiting(self) -> int:
        return sum(len(held.came) for held in self._held)

    def _sort(self, came: list[Came]) -> None:
        if came:
            batch = sort_out((each.message for each in came), self._routes, self._arrivals)
            self._held.append(Held(batch, came))

    def _write(self, link: Link | None) -> None:
        """Write what is held, oldest first, and acknowledge each batch once it is kept."""
        while self._held:
            try:
                self._keeper.keep(self._held[0].batch)
            except Unavailable as trouble:
                self._troubled(link, trouble)
                return
            if link is not None:
                link.acknowledge(self._held[0].came)
            self._held.popleft()
            if self._tries:
                self._tries = 0
                if link is not None:
                    self._say_how(link)

    def _troubled(self, link: Link | None, trouble: Unavailable) -> None:
        self._retry_s = clock.monotonic_s() + BACKOFF_S[min(self._tries, len(BACKOFF_S) - 1)]
        self._tries += 1
        if link is not None:
            why = reason(trouble.__cause__ or trouble)
            said = say(
                "nothing can be written to {file}, {why}; what comes waits at the broker", file=SENSED_FILE, why=why
            )
            self._tell("listening", said, link.spoken, ear=self)

    def _say_how(self, link: Link) -> None:
        refused = ", ".join(link.refused_topics)
        why = say("the broker refuses these topics: {topics}", topics=refused) if refused else ""
        self._tell("listening", why, link.spoken, ear=self)

    def _now_and_then(self, link: Link, now_s: float) -> None:
        if now_s - self._looked_s < LOOK_S:
            return
        self._looked_s = now_s
        try:
            if self._look():
                self._greet(link)
            if not self._tries:
                self._say_how(link)
            if now_s - self._forgot_s >= FORGET_S:
                self._keeper.forget(clock.now().timestamp() - self._keep_days * DAY_S)
                self._forgot_s = now_s
        except Unavailable as trouble:
            self._tell("listening", trouble.sentence, link.spoken, ear=self)

    def _look(self) -> bool:
        """Look whether sensors were set up otherwise, and take them so."""
        db = self._collection.reading()
        count = changes(db)
        if count == self._changes:
            return False
        found = sensors(db)
        self._keeper.set_up(found, assignments(db))
        self._routes, self._changes = Routes(found), count
        self._wanted = to_subscribe(sensor.topic for sensor in found)
        return True

    def _greet(self, link: Link) -> None:
        """Ask for the topics of the sensors; what the broker still knows of former ones is taken back."""
        before = writing.subscribed(self._sensed.reading())
        if link.session_present:
            link.unsubscribe(sorted(before - self._wanted))
        link.subscribe(sorted(self._wanted))
        if before != self._wanted:
            with self._sensed.change() as db:
                writing.set_subscribed(db, self._wanted)
