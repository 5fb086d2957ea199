"""Time of the whole answer beside lifelines' log-normal fit of the same runs, in one run: printed, never judged.

`python -m pytest tests/bench/bench_reserve.py -s` (files of this name are not collected otherwise).
"""

import math
import random
import time
from collections.abc import Callable
from functools import partial

import numpy as np
import pytest
from lifelines import LogNormalFitter

from tests.soak import truth
from tests.soak.life import HABITS, START, YEAR, live
from tests.soak.owner import read
from tracker.core.evidence import Evidence, at_least, at_most, between, exact
from tracker.core.posterior import level_now, weigh, whatever_scatter
from tracker.core.reserve import Prior, Run, _estimate, estimate, prior_for
from tracker.core.rows import rows_of
from tracker.core.segment import present_segment
from tracker.core.spread import Band, band
from tracker.core.steady import steady

REPEATS = {20: 15, 100: 9, 1_000: 3}
YEARS = 5.0
LONG = (("skips 3 % of days", 3.5), *((habit, 10.0) for habit in HABITS))
"""Habits of use, and years of log."""


def mixed(count: int) -> list[Run]:
    """Runs of a watch of 41 h that loses 1 % a year, noted in all ways: four in ten “at least”."""
    rng, runs = random.Random(7), []
    for _ in range(count):
        age = rng.uniform(0.0, YEARS)
        hours = 41.0 * math.exp(rng.gauss(-0.01 * age, 0.03))
        low, high = hours * rng.uniform(0.7, 0.97), hours * rng.uniform(1.03, 1.3)
        hands = Evidence("one_of", ((hours - 12.2, hours - 11.8), (hours - 0.2, hours + 0.2)))
        kinds = [*[at_least(low)] * 4, *[between(low, high)] * 2, *[exact(hours)] * 2, at_most(high), hands]
        runs.append(Run(age, rng.choice(kinds)))
    return runs


def bounds(runs: list[Run]) -> tuple[list[float], list[float]]:
    """The runs as lifelines takes them: one interval each, of the hands the later moment."""
    spans = [run.evidence.spans_h[-1] for run in runs]
    return [max(low, 1e-9) for low, _ in spans], [high for _, high in spans]


def best_ms(action: Callable[[], object], repeats: int, clock: Callable[[], float] = time.perf_counter) -> float:
    def once() -> float:
        began = clock()
        action()
        return 1000.0 * (clock() - began)

    return min(once() for _ in range(repeats))


def steady_reserve(runs: list[Run], prior: Prior) -> Band:
    """The reserve now of the gradual model, and nothing else."""
    posterior = weigh(steady(rows_of(runs, prior.scale_h), prior, YEARS, sudden=False), None)
    grid, scattered = level_now(posterior, YEARS)
    return band(grid, whatever_scatter(scattered))


@pytest.mark.bench
@pytest.mark.filterwarnings("ignore")
def test_the_whole_answer_beside_a_log_normal_fit() -> None:
    prior = prior_for(42.0)
    lines = ["", "Without changes: its whole answer, and the reserve alone (what it is now, with its band)."]
    lines.append("runs   whole answer   without changes   reserve alone   lifelines' fit   ratios")
    for count, repeats in REPEATS.items():
        runs = mixed(count)
        low, high = bounds(runs)
        whole = best_ms(partial(estimate, runs, prior, now_years=YEARS), repeats)
        still = best_ms(partial(_estimate, runs, prior, YEARS, 0.1, sudden=False), repeats)
        alone = best_ms(partial(steady_reserve, runs, prior), repeats)
        fit = best_ms(partial(LogNormalFitter().fit_interval_censoring, np.array(low), np.array(high)), repeats)
        lines.append(
            f"{count:5d} {whole:11.1f} ms {still:14.1f} ms {alone:12.1f} ms {fit:13.1f} ms"
            f" {fit / whole:7.1f} {fit / still:6.1f} {fit / alone:6.1f}"
        )
    print("\n".join(lines))  # noqa: T201 (a table for people is all it is for)


@pytest.mark.bench
def test_long_logs_of_every_habit() -> None:
    lines = ["", "log                                     runs   whole answer   (processor time)"]
    for habit, years in LONG:
        throws = random.Random(f"bench/{habit}")
        known = truth.draw("stable", "none", throws)
        segment = present_segment(read(live(habit, known, throws, years)), START + years * YEAR, None)
        action = partial(estimate, segment.runs, prior_for(known.stated_h), now_years=segment.now_years)
        spent = best_ms(action, 2, time.process_time)
        lines.append(f"{habit}, {years:g} years".ljust(40) + f"{len(segment.runs):4d} {spent:11.0f} ms")
    print("\n".join(lines))  # noqa: T201 (a table for people is all it is for)
