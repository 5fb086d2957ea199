"""A day of rest sensors sent to a real broker while brokers and listeners are killed: what is kept beside the truth.

The stamps are those of the day that has just passed, so that each is believed; only the sending is quick.
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

from sensors.brokersettings import BrokerSettings, Protocol
from sensors.listener import BACKOFF_S
from sensors.rest import Stop
from tests.brokers import Broker, Sent, publish
from tests.sensors.sensing import EVER, payload
from tests.sensors.watchlife import EXPECTED_S, Truth, live, sent
from tracker import clock
from tracker.collection import open_collection, owner
from tracker.commands.door import submit
from tracker.commands.sensor import AddSensor
from tracker.store.sensed import reading
from tracker.store.sensed.migrations import FILE_NAME, open_sensed

CONFIRM_S = 120.0
PATIENCE_S = 60.0
BATCH = 200


@dataclass(frozen=True)
class Day:
    """A sensor's day: its name in the register, what its watch did, and the readings that were sent, moved to the day just past."""

    uid: str
    truth: Truth
    readings: list[tuple[float, float]]
    moved_s: float


class Result(NamedTuple):
    """Readings sent and kept, stops that were bracketed, all in outages or not, brackets without a true stop in them."""

    sent: int
    kept: int
    lost: int
    invented: int
    stops: int
    bracketed: int
    false: int
    kills: int


def days(folder: Path, count: int, hours: float, seed: int) -> list[Day]:
    """So many sensors set up in a collection, each with a day of its own; 5 % of its readings are lost."""
    now_s = float(int(clock.now().timestamp()))
    store = open_collection(folder, clock.now())
    found = []
    for number in range(count):
        chance = Random(f"{seed} {number}")
        sensor = AddSensor(
            name=f"tray {number}", topic=f"house/tray/{number}", expected_s=EXPECTED_S, written="json",
            value_at="/going", time_at="/t",
        )  # fmt: skip
        submit(store, [sensor], owner(store, "page", clock.now()), then=lambda *_: None)
        truth = live(chance, hours / 24, knocked=0.0, knock_s=1.0)
        truth = Truth(truth.changes_s, [], [])
        moved_s = now_s - hours * 3600.0 - 60.0
        readings = [(round(at_s, 3) + moved_s, value) for at_s, value in sent(truth, chance, hours / 24)]
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
import sys, threading
from pathlib import Path
from sensors.brokersettings import BrokerSettings, Protocol
from sensors.listener import BACKOFF_S
from sensors.rest import Stop
from sensors.listener import Listener
listener = Listener(Path(sys.argv[1]), BrokerSettings(port=int(sys.argv[2]), protocol=sys.argv[3]))
listener.start()
print("ready", flush=True)
sys.stdin.read()
listener.stop()
"""


class Child:
    """A listener in a process of its own, to be killed."""

    def __init__(self, folder: Path, settings: BrokerSettings) -> None:
        self._command = [sys.executable, "-c", PROGRAM, str(folder), str(settings.port), settings.protocol]
        self._process = self._started()

    def _started(self) -> "subprocess.Popen[bytes]":
        return subprocess.Popen(self._command, stdin=subprocess.PIPE, stdout=subprocess.DEVNULL)

    def kill(self) -> None:
        self._process.kill()
        self._process.communicate()
        self._process = self._started()

    def cpu_s(self) -> float:
        """The processor time it has used."""
        ticks = Path(f"/proc/{self._process.pid}/stat").read_text().rpartition(")")[2].split()[11:13]
        return sum(map(int, ticks)) / os.sysconf("SC_CLK_TCK")

    def stop(self) -> None:
        self._process.communicate(b"", timeout=60)


def replay(
    folder: Path,
    broker: Broker,
    every: Sequence[Day],
    seed: int,
    *,
    kills: int,
    restarts: int,
    protocol: Protocol = "any",
) -> Result:
    """Send everything; kill the listener at so many random moments, restart the broker at so many others."""
    chance = Random(seed)
    messages = shuffled(every, chance)
    child = Child(folder, broker.settings(protocol))
    await_listening(folder)
    blows = ["listener"] * kills + ["broker"] * restarts
    at = sorted(chance.sample(range(BATCH, len(messages), BATCH), len(blows)))
    chance.shuffle(blows)
    blow_at = dict(zip(at, blows, strict=True))
    for place in range(0, len(messages), BATCH):
        blow = blow_at.get(place)
        if blow == "broker":
            # Told to end it saves all it has; killed it loses what came since it last saved, and nobody could help that.
            broker.stop()
            broker.start()
        timer = threading.Timer(chance.uniform(0.0, 0.05), child.kill) if blow == "listener" else None
        if timer is not None:
            timer.start()
        publish(broker.port, messages[place : place + BATCH])
        if timer is not None:
            timer.join()
    wanted = sum(len(set(day.readings)) for day in every)
    _await_readings(folder, every, wanted)
    child.stop()
    return _result(folder, every, kills)


def await_listening(folder: Path) -> None:
    """Wait until a listener says that it listens."""
    _await(lambda: _state(folder) == "listening")


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


def _await(condition: Callable[[], bool]) -> None:
    until_s = time.monotonic() + PATIENCE_S
    while time.monotonic() < until_s:
        if condition():
            return
        time.sleep(0.02)
    raise AssertionError("it never came")


def _state(folder: Path) -> str:
    if not (folder / FILE_NAME).exists():
        return ""
    with closing(open_sensed(folder)) as file:
        found = reading.health(file.reading())
    return found.state if found else ""


def _kept(folder: Path, day: Day) -> list[tuple[float, float]]:
    with closing(open_sensed(folder)) as file:
        return [(each.at_s, each.value) for each in reading.readings(file.reading(), day.uid, *EVER)]


def _result(folder: Path, every: Sequence[Day], kills: int) -> Result:
    total = dict.fromkeys(Result._fields, 0) | {"kills": kills}
    for day in every:
        sent_, kept = set(day.readings), _kept(folder, day)
        with closing(open_sensed(folder)) as file:
            brackets = reading.stops(file.reading(), day.uid, *EVER)
        total["sent"] += len(sent_)
        total["kept"] += len(kept)
        total["lost"] += len(sent_ - {*kept})
        total["invented"] += len(kept) - len(sent_ & {*kept})
        stops_s = [stop_s + day.moved_s for stop_s in _seen(day)]
        total["stops"] += len(stops_s)
        total["bracketed"] += sum(_bracketed(stop_s, brackets) for stop_s in stops_s)
        total["false"] += sum(
            not any(each.after_s <= stop_s <= each.before_s for stop_s in _all(day)) for each in brackets
        )
    return Result(**total)


def _all(day: Day) -> list[float]:
    return [stop_s + day.moved_s for stop_s in day.truth.stops_s]


def _seen(day: Day) -> list[float]:
    """Stops that a sensor can tell: it was heard long enough on both sides, and nothing happened so near that it hides it."""
    last_s = day.readings[-1][0] - day.moved_s
    changes = day.truth.changes_s
    found = []
    for place, stop_s in enumerate(changes[::2]):
        again_s = changes[2 * place + 1] if 2 * place + 1 < len(changes) else last_s
        if stop_s + 10 * EXPECTED_S < min(again_s, last_s):
            found.append(stop_s)
    return found


def _bracketed(stop_s: float, brackets: Sequence[Stop]) -> bool:
    place = bisect_left([each.before_s for each in brackets], stop_s)
    if place == len(brackets):
        return False
    after_s, before_s = brackets[place]
    return after_s <= stop_s <= before_s and before_s - after_s <= 2 * EXPECTED_S + CONFIRM_S
