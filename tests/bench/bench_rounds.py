"""Time of the plan of a fortnight beside an exact solver's, in one run: printed, never judged.

`python -m pytest tests/bench/bench_rounds.py -s` (files of this name are not collected otherwise).
"""

import random
import statistics
import time
from datetime import UTC, datetime, timedelta

import pytest

from tests.external.milp_rounds import solved
from tracker.core.rounds.plan import plan
from tracker.core.rounds.problem import Kept

NOW = datetime(2026, 11, 2, 6, tzinfo=UTC)
HOUR = timedelta(hours=1)
SLACK = timedelta(minutes=30)
END = NOW + 14 * 24 * HOUR
ROUNDS = [NOW + (24 * day + hour) * HOUR for day in range(14) for hour in (1.5, 13.0)]
SOLVED = 50
"""So many watches are asked of the solver too; more take it minutes."""


def household(seed: int, count: int) -> list[Kept]:
    """Watches of one day to eight, wound at some time."""
    draw, kept = random.Random(seed), []
    for place in range(count):
        lasts_h = draw.choice((28.0, 38.0, 46.0, 66.0, 180.0)) * draw.uniform(0.9, 1.15)
        kept.append(Kept(f"w{place}", NOW + draw.uniform(1.0, lasts_h) * HOUR, lasts_h))
    return kept


@pytest.mark.bench
def test_a_fortnight_of_twice_a_day() -> None:
    lines = ["", "watches   plan, median   slowest of 15   exact solver   ratio"]
    for count in (14, 50, 100, 200, 500, 1_000):
        times = []
        for seed in range(15):
            watches, began = household(seed, count), time.perf_counter()
            plan(watches, ROUNDS, NOW, END, SLACK)
            times.append(1000.0 * (time.perf_counter() - began))
        line = f"{count:7d}   {statistics.median(times):9.1f} ms   {max(times):10.1f} ms"
        if count <= SOLVED:
            began = time.perf_counter()
            solved(household(0, count), ROUNDS, END, SLACK)
            solver_ms = 1000.0 * (time.perf_counter() - began)
            line += f"   {solver_ms:9.0f} ms   {solver_ms / times[0]:5.0f}"
        lines.append(line)
    print("\n".join(lines))  # noqa: T201 (a table for people is all it is for)
