"""Processes that carry reminders, killed at every step of their way: `python -m tests.soak.reminders [RUNS]`."""

import os
import sys
import threading
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.reminders.hook import Hook
from tests.reminders.killed import STEPS, Step, killed_at

RUNS = 200
NOW = datetime(2026, 11, 25, 7, 25, tzinfo=UTC)
FIRST_SEED = 1_000
"""Other seeds than those of the small sample."""


def main(runs: int = RUNS) -> None:
    """Kill so often, each step as often as any other; fails where a reminder is lost, or doubled against the promise."""
    os.environ["NO_PROXY"] = "127.0.0.1"
    wrong = doubled = 0
    for run in range(runs):
        step = STEPS[run % len(STEPS)]
        found, told_twice = _one(step, FIRST_SEED + run)
        wrong, doubled = wrong + bool(found), doubled + told_twice
        sys.stdout.write(f"\r{run + 1} of {runs} kills, {wrong} broken promises, {doubled} told twice")
        sys.stdout.flush()
    sys.stdout.write("\n")
    sys.exit(wrong > 0)


def _one(step: Step, seed: int) -> tuple[list[str], bool]:
    hook = Hook()
    threading.Thread(target=hook.serve_forever, kwargs={"poll_interval": 0.01}, daemon=True).start()
    try:
        with TemporaryDirectory() as folder:
            found = killed_at(Path(folder), hook, step, seed, NOW)
    finally:
        hook.shutdown()
        hook.server_close()
    return found.broken(step), max(found.told.values(), default=0) > 1


if __name__ == "__main__":
    main(*map(int, sys.argv[1:2]))
