"""Digests and last calls through kills, from the plan to the channel: `python -m tests.soak.digests [RUNS]`."""

import sys
from collections import Counter
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.reminders.dying import collection, run

RUNS = 90
FIRST_SEED = 900
"""Other seeds than those of the small sample; a multiple of the number of steps."""


def main(runs: int = RUNS) -> None:
    """Kill so often, each step as often as any other; fails where a message is lost, or doubled against the promise."""
    wrong, repeated = 0, Counter[str]()
    with TemporaryDirectory() as folder:
        collection(Path(folder) / "template")
        for number in range(runs):
            killed = run(Path(folder) / "template", Path(folder) / str(number), FIRST_SEED + number)
            wrong += bool(killed.wrong)
            repeated[killed.step] += max(killed.sent.values(), default=0) > 1
            sys.stdout.write(f"\r{number + 1} of {runs} kills, {wrong} broken promises {'; '.join(killed.wrong)}")
            sys.stdout.flush()
    sys.stdout.write(f"\nTold twice, by step: {dict(+repeated)}\n")
    sys.exit(wrong > 0)


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
