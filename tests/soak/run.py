"""Simulate watches by habit of use and write down what was estimated: `python -m tests.soak.run --watches 300`.

Each finished watch is a line of .soak/SEED.jsonl; started again, the run goes on where it was left. At the end
(or with --only-write) the figures go to results.json, and from there to DEVELOPERS.md.
"""

import argparse
import json
import os
import subprocess
import sys
import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor, as_completed
from pathlib import Path
from typing import get_args

from tests.soak.evaluate import MONTHS, Asking, Record, lived
from tests.soak.figures import figures
from tests.soak.goals import ROTATES, SENSOR, SKIPS, WEEKEND
from tests.soak.life import HABITS
from tests.soak.page import PAGE, RESULTS, written
from tests.soak.ranks import chi_squared, p_value, ranks
from tests.soak.truth import Fate, Misfit
from tracker.core.reserve import MODEL_VERSION

ROOT = Path(__file__).parents[2]
KEPT = ROOT / ".soak"
EVERY: dict[Fate, int] = {"stable": 1, "drop of 25 %": 2, "5 % a year": 2, "drop of 15 %": 4, "2 % a year": 4}
"""One watch of each fate to so many stable ones."""
MISFIT_EVERY = 5
MISFIT_HABITS = (SKIPS, ROTATES, SENSOR)
EVERY_ENTRY = 30
EVERY_ENTRY_HABITS = (ROTATES, WEEKEND)
"""One stable watch of these habits to so many is asked again at every entry."""

Task = tuple[str, str, Fate, Misfit, Asking]


def tasks(seed: str, watches: int) -> Iterator[Task]:
    """What is to be simulated, in rounds, so that a run cut short is still balanced."""
    for number in range(watches):
        word = f"{seed}-{number}"
        for habit in HABITS:
            fates = (fate for fate, every in EVERY.items() if number % every == 0)
            yield from ((word, habit, fate, "none", "by the calendar") for fate in fates)
        for nth, misfit in enumerate(misfit for misfit in get_args(Misfit) if misfit != "none"):
            if (number - nth) % MISFIT_EVERY == 0:
                yield from ((word, habit, "stable", misfit, "by the calendar") for habit in MISFIT_HABITS)
        if number % EVERY_ENTRY == 1:
            yield from ((word, habit, "stable", "none", "at every entry") for habit in EVERY_ENTRY_HABITS)


def work(task: Task, months: int) -> Record:
    """One watch, with its task, by which it is known when the run is taken up again."""
    return {"task": list(task), "model": MODEL_VERSION, **lived(*task, months=months)}


def stored(path: Path) -> list[Record]:
    """What is finished; a line cut off by a kill is left out."""
    found = []
    for line in path.read_text(encoding="utf-8").splitlines() if path.exists() else []:
        try:
            found.append(json.loads(line))
        except json.JSONDecodeError:
            continue
    return found


def run(seed: str, watches: int, processes: int, months: int, path: Path) -> None:
    """Work off what is not stored yet, with a line of progress."""
    done = {tuple(record["task"]) for record in stored(path)}
    every = list(tasks(seed, watches))
    left = [task for task in every if task not in done]
    path.parent.mkdir(exist_ok=True)
    (path.parent / ".gitignore").write_text("*\n", encoding="utf-8")
    began = time.monotonic()
    with ProcessPoolExecutor(processes) as pool, path.open("a", encoding="utf-8") as file:
        for count, finished in enumerate(as_completed([pool.submit(work, task, months) for task in left]), 1):
            file.write(f"\n{json.dumps(finished.result(), ensure_ascii=False)}\n")
            file.flush()
            minutes = (time.monotonic() - began) / 60.0
            to_go = minutes / count * (len(left) - count)
            sys.stderr.write(
                f"\r{len(every) - len(left) + count} of {len(every)} watches, about {to_go:.0f} min to go "
            )
    sys.stderr.write("\n")


def evenness(seed: str, draws: int) -> dict[str, float]:
    """The p-values of tests.soak.ranks, worked out once."""
    path = KEPT / f"{seed}-{draws}.json"
    if not path.exists():
        found = ranks(sum(seed.encode()), draws)
        path.write_text(json.dumps({name: round(p_value(chi_squared(at)), 3) for name, at in found.items()}), "utf-8")
    even: dict[str, float] = json.loads(path.read_text(encoding="utf-8"))
    return even


def write(seed: str, path: Path, draws: int, months: int) -> None:
    """Figures of what is stored, to results.json and to the page, with the ranks of so many draws."""
    records = stored(path)
    results = {
        "seed": seed,
        "model": ", ".join(sorted({str(record["model"]) for record in records})),
        "months": months,
        "draws": draws,
        "even": evenness(seed, draws),
        "figures": figures(records),
    }
    RESULTS.write_text(json.dumps(results, ensure_ascii=False, indent=0) + "\n", encoding="utf-8")
    PAGE.write_text(written(PAGE.read_text(encoding="utf-8"), results), encoding="utf-8")


def main() -> None:
    """Read the words of the command."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--seed", default="whole")
    words.add_argument("--watches", type=int, default=300)
    words.add_argument("--months", type=int, default=MONTHS, help="between two questions; keep it within a seed")
    words.add_argument("--processes", type=int, default=2)
    words.add_argument("--draws", type=int, default=1000)
    words.add_argument("--only-write", action="store_true")
    asked = words.parse_args()
    path = KEPT / f"{asked.seed}.jsonl"
    if not asked.only_write:
        run(asked.seed, asked.watches, asked.processes, asked.months, path)
    write(asked.seed, path, asked.draws, asked.months)


if __name__ == "__main__":
    if "OMP_NUM_THREADS" not in os.environ:  # numpy reads it when imported: one thread for each process
        one_thread = {**os.environ, "OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}
        sys.exit(
            subprocess.run(
                [sys.executable, "-m", "tests.soak.run", *sys.argv[1:]], env=one_thread, check=False
            ).returncode
        )
    main()
