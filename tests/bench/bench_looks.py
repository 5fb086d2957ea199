"""Looks that run-down tests take, and how closely they tell the stop, by the plan and by simpler rules: printed, never judged.

`python -m pytest tests/bench/bench_looks.py -s` (files of this name are not collected otherwise).
"""

import math
import random
import statistics
import sys
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from functools import partial
from zoneinfo import ZoneInfo

import pytest

from tracker.core.benchhours import BenchHours, possible_looks
from tracker.core.benchlooks import HandsTell, TestRun, plan_looks, read_width_h
from tracker.core.evidence import exact
from tracker.core.likelihood import Run
from tracker.core.prior import prior_for
from tracker.core.reserve import estimate

ZONE, HOUR = ZoneInfo("Europe/Berlin"), timedelta(hours=1)
WATCHES, STATED_H = 1_000, 42.0
OFF, SCATTER = 0.12, 0.04
LATE, LATE_BY = 0.03, 1.35
"""Of so many the run lasts so much longer than it should."""
MOST_LOOKS = 60

Rule = Callable[[TestRun, tuple[float, ...]], float]
"""The hour of the next look, of those that are possible."""


@dataclass(frozen=True)
class Life:
    """A watch wound at a moment: how long it runs, and what is known of it before, as ends of former runs."""

    wound_at: datetime
    lasts_h: float
    known: tuple[float, ...]


def lives(seed: int, ends: int) -> list[Life]:
    """Watches whose maker is off by some per cent, wound in the first half of a day at the bench."""
    draw, found = random.Random(seed), []
    for _ in range(WATCHES):
        median = math.log(STATED_H) + draw.gauss(-0.02, OFF)
        lasts = math.exp(median + draw.gauss(0.0, SCATTER)) * (LATE_BY if draw.random() < LATE else 1.0)
        known = tuple(math.exp(median + draw.gauss(0.0, SCATTER)) for _ in range(ends))
        at = datetime(2026, 11, 2, 7, tzinfo=UTC) + timedelta(days=draw.randrange(7), minutes=draw.randrange(300))
        found.append(Life(at, lasts, known))
    return found


def planned(test: TestRun, possible: tuple[float, ...]) -> float:
    found = plan_looks(test, possible)
    return possible[-1] if found is None else found.looks[0].hours


def every_two_hours(test: TestRun, possible: tuple[float, ...]) -> float:
    return next(each for each in possible if each >= test.seen_h + 2.0)


def at_the_stated_reserve(test: TestRun, possible: tuple[float, ...]) -> float:
    """Once there, then every morning."""
    return next(each for each in possible if each >= max(STATED_H, test.seen_h + 12.0))


def after_two_nights(life: Life, test: TestRun, possible: tuple[float, ...]) -> float:
    """The next morning but one, then every morning."""
    day = (life.wound_at.astimezone(ZONE) + timedelta(days=2)).replace(hour=0, minute=0)
    return next(each for each in possible if each >= max((day - life.wound_at) / HOUR, test.seen_h + 12.0))


def looked(life: Life, test: TestRun, hours: BenchHours, rule: Rule) -> tuple[int, float]:
    """How many looks it took, and how closely the stop is known then."""
    end = life.wound_at + 200.0 * HOUR
    for look in range(1, MOST_LOOKS):
        after = life.wound_at + test.seen_h * HOUR
        possible = tuple((at - life.wound_at) / HOUR for at in possible_looks(hours, after, end, ZONE))
        at_h = rule(test, possible)
        if at_h >= life.lasts_h:
            return look, read_width_h(test, life.lasts_h, test.seen_h, at_h)
        test = replace(test, seen_h=at_h)
    raise AssertionError(life)


def rules(life: Life) -> dict[str, Rule]:
    return {
        "planned": planned,
        "every 2 h": every_two_hours,
        "at the stated reserve": at_the_stated_reserve,
        "the next morning but one": partial(after_two_nights, life),
    }


def compared(ends: int, hours: BenchHours, *, hands: bool) -> list[str]:
    """A line for each rule."""
    taken: dict[str, list[tuple[int, float]]] = {}
    goal_h = 0.0
    for life in lives(7, ends):
        runs = tuple(Run(0.1 * place, exact(end)) for place, end in enumerate(life.known))
        wall = life.wound_at.astimezone(ZONE)
        tell = HandsTell(clock_h=wall.hour + wall.minute / 60) if hands else None
        curve = estimate(runs, prior_for(STATED_H), now_years=0.1 * max(1, ends)).next_run
        test = TestRun(curve, STATED_H, 0.0, tell)
        goal_h = test.goal_h
        for name, rule in rules(life).items():
            taken.setdefault(name, []).append(looked(life, test, hours, rule))
    return [
        f"{name:26}{statistics.mean(looks for looks, _ in each):7.2f}"
        f"{100 * statistics.mean(width <= goal_h for _, width in each):12.0f} %"
        f"{statistics.median(width for _, width in each):11.1f} h"
        f"{2 ** statistics.mean(math.log2(width) for _, width in each):10.1f} h"
        for name, each in taken.items()
    ]


@pytest.mark.bench
@pytest.mark.parametrize("hands", [True, False], ids=["hands read", "hands not read"])
@pytest.mark.parametrize(("ends", "known"), [(0, "by its maker alone"), (3, "by three ends")])
def test_looks_of_a_thousand_watches(ends: int, known: str, *, hands: bool) -> None:
    lines = [
        "",
        f"{'read' if hands else 'not read'}, known {known}      looks  within goal  median width  geometric mean",
    ]
    sys.stdout.write("\n".join(lines + compared(ends, BenchHours(), hands=hands)) + "\n")
