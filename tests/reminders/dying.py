"""The whole way of digests and last calls, from the plan to the channel, killed at a step; and what has come of them.

Run as a program it plans and rings once, at the moment given, and dies there: `python -m tests.reminders.dying FILE MOMENT
SENT STEP`. What is sent is a line in the file SENT, on the disk before the channel answers.
"""

import os
import shutil
import signal
import subprocess
import sys
from collections import Counter
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random
from typing import Any
from zoneinfo import ZoneInfo

from tests.reminders.channels import add
from tracker import digests
from tracker.collection import FILE_NAME, open_collection, owner
from tracker.commands.door import submit
from tracker.commands.log import LogWind
from tracker.commands.register import RegisterWatch
from tracker.commands.settings import ChangeSettings
from tracker.reminders import outbox, ring
from tracker.reminders.answer import Answer
from tracker.reminders.message import Message
from tracker.reminders.outbox import LEASE
from tracker.store.store import Store

HOUR = timedelta(hours=1)
UTC_ZONE = ZoneInfo("UTC")
BEGIN = datetime(2026, 11, 25, 6, 0, tzinfo=UTC)
MOMENTS = (BEGIN, BEGIN + 1.5 * HOUR, BEGIN + 3 * HOUR, BEGIN + 4.5 * HOUR)
"""The digest is planned; it is due; the last call of the first watch is; that of the second is."""
STEPS: tuple[str, ...] = (
    "planned, not kept",
    "planned",
    "due, not kept",
    "due",
    "claimed, not kept",
    "claimed",
    "sent",
    "marked, not kept",
    "marked",
)
MAY_REPEAT = {"sent", "marked, not kept"}
"""Killed here the message has arrived, and nobody knows."""


@dataclass(frozen=True, slots=True)
class Killed:
    """Where a run was killed, how often each key was sent after all, and what is wrong with that."""

    step: str
    moment: int
    sent: Counter[str]
    wrong: tuple[str, ...]


def collection(folder: Path) -> None:
    """Two watches that want a digest and a last call each, and a channel."""
    with closing(open_collection(folder, BEGIN)) as store:
        who = owner(store, "page", BEGIN)
        submit(store, [ChangeSettings(zone="UTC")], who)
        for nickname, hours in (("Night ferry", 26), ("Pier", 24)):
            watch = RegisterWatch(nickname=nickname, stated_reserve_h=40, habit="keep going")
            wound = LogWind(watch_uid=watch.uid, at=BEGIN - hours * HOUR, zone="UTC", found="going", hands="left")
            submit(store, [watch, wound], who)
        add(store, "first", "https://127.0.0.1/x")


def tell(store: Store, now: datetime, sent: Path) -> None:
    """Plan and ring, as the bell does; `looked` is left out, as after a start."""
    digests.judge(store, now, None)

    def send(_address: str, message: Message) -> Answer:
        with sent.open("a") as file:
            file.write(f"{message.key}\n")
            file.flush()
            os.fsync(file.fileno())
        return Answer("sent")

    while ring.ring(store, now, UTC_ZONE, send):
        pass


def run(template: Path, folder: Path, seed: int) -> Killed:
    """One life of the collection, with the program killed once; step and moment go round with the seed."""
    step, dice = STEPS[seed % len(STEPS)], Random(seed)
    # What is planned is planned at the first moment; there is nothing else to be cut off there.
    killed_at = 0 if step.startswith("planned") else dice.choice((1, 2, 3))
    shutil.copytree(template, folder)
    sent = folder / "sent"
    sent.touch()
    with closing(Store(folder / FILE_NAME)) as store:
        for place, moment in enumerate(MOMENTS):
            if place == killed_at:
                died = subprocess.run(
                    [
                        sys.executable,
                        "-m",
                        "tests.reminders.dying",
                        str(store.path),
                        moment.isoformat(),
                        str(sent),
                        step,
                    ],
                    check=False,
                )
                assert died.returncode == -signal.SIGKILL, (step, moment)
            for wait in (timedelta(seconds=1), dice.random() * LEASE, LEASE, 2 * LEASE, 4 * LEASE):
                tell(store, moment + wait, sent)
        intact = store.reading().execute("PRAGMA integrity_check").fetchone() == ("ok",)
    counted = Counter(sent.read_text().split())
    return Killed(step, killed_at, counted, (*_wrong(counted, step), *([] if intact else ["the file is broken"])))


def _wrong(sent: Counter[str], step: str) -> list[str]:
    kinds = Counter(key.split("/")[0] for key in sent)
    wrong = [] if kinds == {"round": 1, "last-call": 2} else [f"told were {dict(kinds)}"]
    repeated = sum(count - 1 for count in sent.values())
    return wrong + ([f"repeated {repeated} times"] if repeated > (step in MAY_REPEAT) else [])


def _die(*_: object) -> None:
    os.kill(os.getpid(), signal.SIGKILL)


def _dies_after(module: Any, name: str) -> None:
    """A function within whose change the program is killed once it has written."""
    whole: Callable[..., object] = getattr(module, name)
    setattr(module, name, lambda *given, **named: _die(whole(*given, **named)))


def _dies_before(module: Any, name: str, *, only_after: str = "") -> None:
    """A function before which the program is killed; `only_after` another one of the same module has been called."""
    if not only_after:
        setattr(module, name, _die)
        return
    whole: Callable[..., object] = getattr(module, only_after)

    def then(*given: Any, **named: Any) -> object:
        setattr(module, name, _die)
        return whole(*given, **named)

    setattr(module, only_after, then)


def arm(step: str) -> None:
    """Have this process killed at a step."""
    {
        "planned, not kept": lambda: _dies_after(digests, "replan_rounds"),
        "planned": lambda: _dies_before(outbox, "make_due"),
        "due, not kept": lambda: _dies_after(outbox, "make_due"),
        "due": lambda: _dies_before(outbox, "claim"),
        "claimed, not kept": lambda: _dies_after(outbox, "claim"),
        "claimed": lambda: _dies_before(outbox, "look_again"),
        "sent": lambda: _dies_before(outbox, "settle"),
        "marked, not kept": lambda: _dies_after(outbox, "settle"),
        "marked": lambda: _dies_before(outbox, "claim", only_after="settle"),
    }[step]()


def main() -> None:
    """Plan and ring once, and die where told; not at all where no step is named."""
    file, moment, sent, *step = sys.argv[1:]
    for each in step:
        arm(each)
    tell(Store(Path(file)), datetime.fromisoformat(moment), Path(sent))


if __name__ == "__main__":
    main()
