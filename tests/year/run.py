"""Live the years and write down what came of them: `python -m tests.year.run --owners 16`.

Each finished year is a line of .soak/year-FIRST.jsonl; started again, the run goes on where it was left. At the end (or
with --only-write) the tallies go to results.json, and from there to README.md.
"""

import argparse
import json
import os
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import asdict
from pathlib import Path
from typing import Any

from tests.soak.run import KEPT, stored
from tests.year.household import HOUSEHOLDS
from tests.year.life import WEEKS, lived, warmed
from tests.year.page import PAGE, RESULTS, written
from tests.year.policies import POLICIES
from tracker.core.reserve import MODEL_VERSION

FIRST = 3_000
"""Number of the first owner; smaller ones serve while the program is changed."""

Task = tuple[int, str, str]
Record = dict[str, Any]


def tasks(first: int, owners: int) -> Iterator[Task]:
    """Owner by owner, so that a run cut short is still balanced."""
    for owner in range(first, first + owners):
        yield from ((owner, kind, policy) for kind in HOUSEHOLDS for policy in POLICIES)


def work(task: Task, weeks: int) -> Record:
    """One owner's year by one policy, with its task, by which it is known when the run is taken up again."""
    owner, kind, policy = task
    tally = lived(owner, warmed(owner, kind), policy, weeks)
    return {"task": list(task), "model": MODEL_VERSION, "weeks": weeks, **asdict(tally)}


def run(wanted: Sequence[Task], weeks: int, processes: int, path: Path) -> None:
    """Work off what is not stored yet, with a line of progress."""
    done = {tuple(record["task"]) for record in stored(path)}
    left = [task for task in wanted if task not in done]
    path.parent.mkdir(exist_ok=True)
    (path.parent / ".gitignore").write_text("*\n", encoding="utf-8")
    began = time.monotonic()
    with ProcessPoolExecutor(processes) as pool, path.open("a", encoding="utf-8") as file:
        for count, finished in enumerate(as_completed([pool.submit(work, task, weeks) for task in left]), 1):
            file.write(f"\n{json.dumps(finished.result(), ensure_ascii=False)}\n")
            file.flush()
            to_go = (time.monotonic() - began) / 60.0 / count * (len(left) - count)
            sys.stderr.write(
                f"\r{len(wanted) - len(left) + count} of {len(wanted)} years, about {to_go:.0f} min to go "
            )
    sys.stderr.write("\n")


def write(path: Path) -> None:
    """The tallies of households that have been lived in by every policy, to results.json and to the page."""
    found = {tuple(record["task"]): record for record in stored(path)}
    kept = [
        found[owner, kind, policy]
        for kind in HOUSEHOLDS
        for owner in sorted({owner for owner, _, _ in found})
        for policy in POLICIES
        if all((owner, kind, each) in found for each in POLICIES)
    ]
    lines = ",\n".join(json.dumps(record, ensure_ascii=False) for record in kept)
    RESULTS.write_text(f"[\n{lines}\n]\n", encoding="utf-8")
    PAGE.write_text(written(PAGE.read_text(encoding="utf-8"), kept), encoding="utf-8")


def main() -> None:
    """Read the words of the command."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--first", type=int, default=FIRST)
    words.add_argument("--owners", type=int, default=16)
    words.add_argument("--weeks", type=int, default=WEEKS, help="of each; keep it within a first owner")
    words.add_argument("--processes", type=int, default=2)
    words.add_argument("--only-write", action="store_true")
    asked = words.parse_args()
    path = KEPT / f"year-{asked.first}.jsonl"
    if not asked.only_write:
        run(list(tasks(asked.first, asked.owners)), asked.weeks, asked.processes, path)
    write(path)


if __name__ == "__main__":
    if "OMP_NUM_THREADS" not in os.environ:  # numpy reads it when imported: one thread for each process
        one_thread = {**os.environ, "OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}
        command = [sys.executable, "-m", "tests.year.run", *sys.argv[1:]]
        sys.exit(subprocess.run(command, env=one_thread, check=False).returncode)
    main()
