"""A day of rest sensors sent to a real broker while brokers and listeners are killed: what is kept beside the truth.

The listener reads the time off a file, which says the end of that day: each stamp is believed, only the sending is quick.
"""

import os
import subprocess
import sys
import threading
import time
from bisect import bisect_left
from collections.abc import Callable, Sequence
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from random import Random
from typing import NamedTuple

from sensors.brokersettings import BrokerSettings
from sensors.kinds import Boolean
from sensors.listener import BACKOFF_S
from sensors.rest import Setup, Stop
from tests.brokers import Sent
from tests.sensors.sensing import EVER, folded, payload, told
from tests.sensors.watchlife import EXPECTED_S, Truth, live, sent
from tracker import clock
from tracker.collection import open_collection, owner
from tracker.commands.door import submit
from tracker.commands.sensor import AddSensor
from tracker.store.sensed import reading
from tracker.store.sensed.migrations import open_sensed

SETUP = Setup(Boolean(), EXPECTED_S)
DAY_S = 86_400.0
BATCH = 200
MEAN_S = 600.0
"""A run or a rest takes half an hour and this on average: some eighteen stops a day."""


@dataclass(frozen=True)
class Day:
    """A sensor's day: its name in the register, what its watch did, and the readings that were sent, moved to the day that ends."""

    uid: str
    truth: Truth
    readings: list[tuple[float, float]]
    moved_s: float


class Result(NamedTuple):
    """What came of it.

    Readings sent, kept, lost and invented; sensors whose file does not tell what the readings in order tell; stops that
    a sensor can tell, those in a bracket, those in one as narrow as promised; brackets without a stop; kills.
    """

    sent: int
    kept: int
    lost: int
    invented: int
    otherwise: int
    stops: int
    held: int
    narrow: int
    false: int
    kills: int

    @property
    def broken(self) -> list[str]:
        """The promises that were not kept; that of narrow brackets is judged where there are stops enough."""
        wrong = ("lost", "invented", "otherwise", "false")
        found = [name for name in wrong if getattr(self, name)]
        return found + ["held"] * (self.held < self.stops) + ["kept"] * (self.kept != self.sent)


def days(folder: Path, count: int, end_s: float, seed: int) -> list[Day]:
    """So many sensors set up in a collection, each with a day of its own; 5 % of its readings are lost."""
    store = open_collection(folder, clock.now())
    found = []
    for number in range(count):
        chance = Random(f"{seed} {number}")
        sensor = AddSensor(
            name=f"tray {number}", topic=f"house/tray/{number}", expected_s=EXPECTED_S, written="json",
            value_at="/going", time_at="/t",
        )  # fmt: skip
        submit(store, [sensor], owner(store, "page", clock.now()), then=lambda *_: None)
        truth = Truth(live(chance, 1.0, mean_s=MEAN_S).changes_s, [], [])
        moved_s = end_s - DAY_S
        readings = [(round(at_s, 3) + moved_s, value) for at_s, value in sent(truth, chance, 1.0)]
        found.append(Day(sensor.uid, truth, readings, moved_s))
    store.close()
    return found


def shuffled(every: Sequence[Day], chance: Random, *, doubled: float = 0.05, late: float = 0.10) -> list[Sent]:
    """All messages in order of time, but some twice and some minutes to hours late."""
    due = []
    for number, day in enumerate(every):
        for at_s, value in day.readings:
            message = (f"house/tray/{number}", payload(at_s, value))
            held_s = chance.uniform(30.0, 6 * 3600.0) if chance.random() < late else 0.0
            due += [(at_s + held_s, message)] * (2 if chance.random() < doubled else 1)
    return [message for _, message in sorted(due)]


PROGRAM = """
import os, sys, time
from datetime import UTC, datetime
from pathlib import Path
from sensors.brokersettings import BrokerSettings
from sensors.listener import Listener
from tracker import clock
folder, port, protocol, user, password, dial = sys.argv[1:]
if dial:
    clock.now = lambda: datetime.fromtimestamp(os.stat(dial).st_mtime, UTC)
listener = Listener(Path(folder), BrokerSettings(port=int(port), protocol=protocol, user=user, password=password))
listener.start()
while listener.state.state != "listening":
    time.sleep(0.01)
print(flush=True)
sys.stdin.read()
listener.stop()
"""


def set_dial(dial: Path, at_s: float) -> Path:
    """Have a file say what time it is, by when it was last touched."""
    dial.touch()
    os.utime(dial, (at_s, at_s))
    return dial


class Child:
    """A listener in a process of its own, to be killed; it reads the time off `dial` if there is one."""

    def __init__(self, folder: Path, settings: BrokerSettings, dial: Path | None = None) -> None:
        words = [str(folder), str(settings.port), settings.protocol, settings.user, settings.password]
        self._command = [sys.executable, "-c", PROGRAM, *words, str(dial or "")]
        self._process = self._started()

    def _started(self) -> "subprocess.Popen[bytes]":
        self._listens = False
        return subprocess.Popen(self._command, stdin=subprocess.PIPE, stdout=subprocess.PIPE)

    def await_listening(self) -> None:
        """Wait until it listens."""
        if not self._listens:
            assert self._process.stdout is not None
            assert self._process.stdout.readline(), "it ended"
            self._listens = True

    def kill(self) -> None:
        self._process.kill()
        self._process.communicate()
        self._process = self._started()

    def _figures(self, name: str) -> str:
        return Path(f"/proc/{self._process.pid}/{name}").read_text()

    def cpu_s(self) -> float:
        """The processor time it has used."""
        ticks = self._figures("stat").rpartition(")")[2].split()[11:13]
        return sum(map(int, ticks)) / os.sysconf("SC_CLK_TCK")

    def memory_mb(self) -> float:
        """The memory it holds now that is its own."""
        (line,) = [line for line in self._figures("status").splitlines() if line.startswith("RssAnon:")]
        return int(line.split()[1]) / 1024

    def stop(self) -> None:
        self._process.communicate(b"", timeout=60)


def replay(
    folder: Path,
    child: Child,
    every: Sequence[Day],
    seed: int,
    send: Callable[[Sequence[Sent]], None],
    *,
    kills: int = 0,
    restarts: int = 0,
    restart: Callable[[], None] = lambda: None,
) -> Result:
    """Send everything; kill the listener at so many random moments while it listens, restart the broker at so many others."""
    chance = Random(seed)
    messages = shuffled(every, chance)
    blows = ["listener"] * kills + ["broker"] * restarts
    at = sorted(chance.sample(range(BATCH, len(messages), BATCH), len(blows)))
    chance.shuffle(blows)
    blow_at = dict(zip(at, blows, strict=True))
    child.await_listening()
    for place in range(0, len(messages), BATCH):
        batch, blow = messages[place : place + BATCH], blow_at.get(place)
        if blow == "broker":
            restart()
        if blow == "listener":
            child.await_listening()
            timer = threading.Timer(chance.uniform(0.0, 0.2), child.kill)
            timer.start()
            send(batch)
            timer.join()
        else:
            send(batch)
    _await_readings(folder, every, sum(len(set(day.readings)) for day in every))
    child.await_listening()
    child.stop()
    return _result(folder, every, kills)


def _await_readings(folder: Path, every: Sequence[Day], wanted: int) -> None:
    """Until all is kept, or nothing has come for longer than the listener ever waits between attempts: what lacks then is lost."""
    before, still = -1, 0.0
    while still < 1.5 * BACKOFF_S[-1]:
        kept = sum(len(_kept(folder, day)) for day in every)
        if kept >= wanted:
            return
        still = 0.0 if kept != before else still + 0.25
        before = kept
        time.sleep(0.25)


def _kept(folder: Path, day: Day) -> list[tuple[float, float]]:
    with closing(open_sensed(folder)) as file:
        return [(raw.at_s, raw.value) for raw in reading.readings(file.reading(), day.uid, *EVER) if raw.stamped]


def _result(folder: Path, every: Sequence[Day], kills: int) -> Result:
    total = dict.fromkeys(Result._fields, 0) | {"kills": kills}
    for day in every:
        sent_, kept = set(day.readings), _kept(folder, day)
        with closing(open_sensed(folder)) as file:
            found = told(file, day.uid)
        total["sent"] += len(sent_)
        total["kept"] += len(kept)
        total["lost"] += len(sent_ - {*kept})
        total["invented"] += len(kept) - len(sent_ & {*kept})
        total["otherwise"] += found != folded(day.readings, SETUP)
        true_s = [stop_s + day.moved_s for stop_s in day.truth.stops_s]
        due_s = [stop_s for stop_s in true_s if stop_s + 10 * EXPECTED_S < day.readings[-1][0]]
        total["stops"] += len(due_s)
        total["held"] += sum(_within(stop_s, found.stops, DAY_S) for stop_s in due_s)
        total["narrow"] += sum(_within(stop_s, found.stops, 2 * EXPECTED_S + SETUP.confirm_s) for stop_s in due_s)
        total["false"] += sum(not any(each.after_s <= at_s <= each.before_s for at_s in true_s) for each in found.stops)
    return Result(**total)


def _within(stop_s: float, brackets: Sequence[Stop], wide_s: float) -> bool:
    """Whether a stop lies in one of the brackets, and that is no wider than this."""
    place = bisect_left([each.before_s for each in brackets], stop_s)
    if place == len(brackets):
        return False
    after_s, before_s = brackets[place]
    return after_s <= stop_s <= before_s and before_s - after_s <= wide_s
