"""A process that carries reminders, killed with SIGKILL at a step of its way, and what has come of them in the end."""

import os
import random
import signal
import subprocess
import sys
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, Literal, get_args
from zoneinfo import ZoneInfo

from tests.reminders.channels import FIRST, add
from tests.reminders.hook import Hook
from tracker.collection import open_collection
from tracker.reminders import deliver, outbox
from tracker.reminders.answer import Answer
from tracker.reminders.message import Message
from tracker.reminders.outbox import LEASE, replan
from tracker.reminders.plan import KeptWatch
from tracker.reminders.ring import ring
from tracker.store.rows import all_rows
from tracker.store.store import Store

Step = Literal["planned", "due", "claimed", "sent", "marked"]
STEPS: tuple[Step, ...] = get_args(Step)
"""The last thing done and committed before the kill; after *planned* the change that makes due is under way."""

HOUR = timedelta(hours=1)
UTC_ZONE = ZoneInfo("UTC")
NOTICE_H = 3.0


@dataclass(frozen=True, slots=True)
class Outcome:
    """How often each reminder was carried to the webhook, and the states its deliveries ended in."""

    told: Counter[str]
    states: set[str]
    expected: set[str]

    def broken(self, step: Step) -> list[str]:
        """What was promised and not kept: none lost, none doubled but one that was sent and not yet marked."""
        doubled = {key for key, times in self.told.items() if times > 1}
        wrong = ["lost"] * (self.told.keys() != self.expected)
        wrong += ["doubled"] * (len(doubled) > (step == "sent") or max(self.told.values(), default=0) > 2)
        return wrong + ["open"] * (not self.states <= {"sent", "possibly twice"})


def killed_at(folder: Path, hook: Hook, step: Step, seed: int, now: datetime) -> Outcome:
    """Plan some reminders, have a process killed at this step of one of them, and ring on until nothing waits."""
    chance = random.Random(seed)
    store = open_collection(folder, now)
    add(store, "first", hook.address, FIRST)
    many = chance.randint(1, 5)
    watches = [KeptWatch(f"w{n}", f"Watch {n}", f"wind-{n}", now - 10 * HOUR, now + 20 * HOUR) for n in range(many)]
    if step != "planned" or chance.random() < 0.5:
        _plan(store, watches, now)
    due = now + 17 * HOUR
    arguments = [sys.executable, "-m", "tests.reminders.killed", str(store.path), due.isoformat(), step]
    child = subprocess.run([*arguments, str(chance.randint(1, many))], check=False, timeout=120)
    assert child.returncode == -signal.SIGKILL, f"it was not killed at {step!r}"
    _plan(store, watches, now)  # whoever looks next plans what was not; planned twice is planned once
    for wait in range(1, 6):
        while ring(store, due + wait * LEASE, UTC_ZONE, deliver.send):
            pass
    rows = all_rows(store.reading(), "SELECT state FROM delivery WHERE channel != 'page'")
    expected = {f"last-call/w{n}/wind-{n}/1" for n in range(many)}
    told = Counter(hook.keys)
    store.close()
    return Outcome(told, {row["state"] for row in rows}, expected)


def _plan(store: Store, watches: list[KeptWatch], now: datetime) -> None:
    with store.change() as db:
        replan(db, watches, NOTICE_H, now)


def _die() -> None:
    os.kill(os.getpid(), signal.SIGKILL)


def _at_call(count: int, before: Callable[[], None] | None, work: Callable[..., Any]) -> Callable[..., Any]:
    """The same work; at its `count`-th call the process dies, after it or (given `before`) ahead of it."""
    calls = 0

    def counted(*args: Any, **named: Any) -> Any:
        nonlocal calls
        calls += 1
        if calls == count and before is not None:
            before()
        done = work(*args, **named)
        if calls == count:
            _die()
        return done

    return counted


def main(path: str, due: str, step: Step, count: int) -> None:
    """Ring, and die at this step; the count-th reminder is the one under way."""
    send: Callable[[str, Message], Answer] = deliver.send
    if step == "planned":
        outbox.make_due = _at_call(1, None, outbox.make_due)  # made due, and not committed
    elif step == "due":
        outbox.claim = _at_call(count, _die, outbox.claim)
    elif step == "claimed":
        send = _at_call(count, _die, send)
    elif step == "sent":
        send = _at_call(count, None, send)
    else:
        outbox.claim = _at_call(count + 1, _die, outbox.claim)
    while ring(Store(Path(path)), datetime.fromisoformat(due), UTC_ZONE, send):
        pass


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], sys.argv[3], int(sys.argv[4]))  # type: ignore[arg-type]  # one of its words
