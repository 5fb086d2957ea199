"""History, date of a drop and date of a threshold against courses drawn from the brute-force sums, followed step by step."""

import importlib.util
import math
import sys
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from tracker.core.evidence import Evidence, at_least, at_most, between, exact
from tracker.core.normal import FloatArray
from tracker.core.paths import Passing
from tracker.core.reserve import Band, Run, estimate, prior_for

HERE = Path(__file__).parent
SIZE = (0.01, 16, 41)
DRAWS = 100_000
STEP_YEARS = 0.05
HOURS, SCATTER, CHANCE, YEARS, SHARE = 0.015, 0.05, 0.02, 0.8, 0.035
"""Tolerances: some four standard errors of DRAWS courses' outer points, and the steps of both grids."""
Array = NDArray[np.float64]


@pytest.fixture(scope="module")
def by_hand() -> ModuleType:
    spec = importlib.util.spec_from_file_location("reserve_by_hand", HERE / "make_reserve_reference.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module  # dataclasses look their module up
    spec.loader.exec_module(module)
    return module


@dataclass
class Courses:
    """Drawn values: level at age 0, slope, log sigma, age of the change (inf: none) and drop."""

    first: Array
    slope: Array
    log_sigma: Array
    change: Array
    drop: Array

    def level(self, age: float) -> Array:
        return self.first + self.slope * age + np.where(age > self.change, self.drop, 0.0)


def weights(
    by_hand: ModuleType, problem: Any, log_sigma: float, slope: float
) -> tuple[Array, list[tuple[Array, Array]]]:
    """Logs of the masses over c without a change, and for each gap over c and over the level after it."""
    first = problem.axes[2]
    before, since = by_hand.cumulated(problem, math.exp(log_sigma), slope)
    spread = 0.12 if "stated_h" in problem.document else 0.35
    prior = -0.5 * ((first + 0.02) / spread) ** 2 - math.log(spread * math.sqrt(2 * math.pi)) + math.log(problem.step)
    prior += -0.5 * ((log_sigma - math.log(0.04)) / 0.5) ** 2 - 0.5 * ((slope + 0.01) / 0.04) ** 2
    changed = 1.0 - math.exp(-0.03 * problem.now)
    logs = np.log(np.maximum(changed * problem.gap_shares(), 1e-300))
    gaps = [(row + prior + log, after) for row, log, after in zip(before, logs, since, strict=True)]
    return before[-1] + prior + math.log(1.0 - changed), gaps


def draw(by_hand: ModuleType, document: dict[str, Any], rng: np.random.Generator) -> Courses:
    box = {
        "log_sigma": (math.log(0.04) - 2.0, math.log(0.04) + 2.0),
        "slope": (-0.17, 0.15),
        "first": (-0.5, 0.46),
        "after": (-1.1, 0.36),
    }
    rough = by_hand.problem_in(document, box, SIZE)
    problem = by_hand.problem_in(document, by_hand.shrunk(rough, by_hand.integrate(rough)), SIZE)
    window, found = by_hand.drop_weights(problem, -0.1), []
    cells = [(s, b, *weights(by_hand, problem, s, b)) for s in problem.axes[0] for b in problem.axes[1]]
    top = max(max(never.max(), *(a.max() + b.max() for a, b in gaps)) for _, _, never, gaps in cells)
    masses = np.array(
        [
            [np.exp(never - top).sum(), *(np.exp(a - top / 2) @ window @ np.exp(b - top / 2) for a, b in gaps)]
            for _, _, never, gaps in cells
        ]
    )
    counts = rng.multinomial(DRAWS, (masses / masses.sum()).ravel()).reshape(masses.shape)
    ends = np.array([0.0, *(run["age_years"] for run in problem.runs), problem.now])
    for i, kind in np.argwhere(counts > 0):
        log_sigma, slope, never, gaps = cells[i]
        number, (past, since) = counts[i, kind], gaps[kind - 1]
        joint = (
            np.exp(past - top / 2)[:, None] * window * np.exp(since - top / 2) if kind else np.exp(never - top)[:, None]
        )
        picked = rng.choice(joint.size, number, p=(joint / joint.sum()).ravel())
        first = problem.axes[2][picked // joint.shape[1]]
        drop = problem.axes[3][picked % joint.shape[1]] - first if kind else np.zeros(number)
        change = rng.uniform(ends[kind - 1], ends[kind], number) if kind else np.full(number, math.inf)
        cells_of = (problem.step, *(axis[1] - axis[0] for axis in problem.axes[1::-1]))
        first, even, scatter = (
            at + cell * rng.uniform(-0.5, 0.5, number)
            for at, cell in zip((first, slope, log_sigma), cells_of, strict=True)
        )
        found.append([first, even, scatter, change, drop])
    return Courses(*np.concatenate(found, axis=1))


def run_of(noted: dict[str, Any]) -> Run:
    makers = {"exact_h": exact, "at_least_h": at_least, "at_most_h": at_most}
    for key, maker in makers.items():
        if key in noted:
            return Run(noted["age_years"], maker(noted[key]))
    if "between_h" in noted:
        return Run(noted["age_years"], between(*noted["between_h"]))
    spans = tuple((moment - noted["within_h"], moment + noted["within_h"]) for moment in noted["one_of_h"])
    return Run(noted["age_years"], Evidence("one_of", spans))


def points(values: Array) -> list[float]:
    return [float(point) for point in np.quantile(values, (0.05, 0.5, 0.95))]


def of(band: Band | None) -> list[float]:
    assert band is not None
    return [band.low, band.mid, band.high]


def first_below(courses: Courses, fall: float, until: float) -> Array:
    """Age at which each course first stands below the fall, looked at every STEP_YEARS; inf where never."""
    found = np.full(courses.first.size, math.inf)
    for age in np.arange(until, 0.0, -STEP_YEARS):
        gradual = courses.slope * age + np.where(age > courses.change, courses.drop, 0.0)
        found = np.where(gradual <= fall, age, found)
    return found


def assert_passing(found: Passing | None, passed: FloatArray) -> None:
    """The ages by which 5, 50 and 95 % of all courses have passed; None for never."""
    expected = np.quantile(passed, (0.05, 0.5, 0.95), method="inverted_cdf")
    points = (None, None, None) if found is None else (found.low, found.mid, found.high)
    for ours, theirs in zip(points, expected, strict=True):
        assert (math.inf if ours is None else ours) == pytest.approx(theirs, abs=YEARS)


@pytest.mark.parametrize("name", ["few", "declining", "dropped, two runs ago"])
def test_history_scatter_and_dates_agree_with_drawn_courses(name: str, by_hand: ModuleType) -> None:
    document = by_hand.cases()[name]
    now = document["now_years"]
    found = estimate([run_of(noted) for noted in document["runs"]], prior_for(42.0), now_years=now)
    courses = draw(by_hand, document, np.random.default_rng(20261125))
    assert found.history is not None
    for place in (0, 8, 16, 23, 29, 35):
        ours = [found.history.low[place], found.history.mid[place], found.history.high[place]]
        level = courses.level(found.history.age_years[place])
        assert ours == pytest.approx([42.0 * math.exp(point) for point in points(level)], rel=HOURS), place
    assert of(found.scatter) == pytest.approx([math.exp(p) for p in points(courses.log_sigma)], rel=SCATTER)
    passed = first_below(courses, math.log(0.9), now + 30.0)
    soon = np.isfinite(passed)
    assert found.threshold_chance == pytest.approx(soon.mean(), abs=CHANCE)
    assert_passing(found.threshold_years, passed)
    happened = courses.change[np.isfinite(courses.change)]
    if found.change_years is None:
        assert happened.size < 0.03 * DRAWS
    else:
        below = [float((happened <= age).mean()) for age in of(found.change_years)]
        assert below == pytest.approx([0.05, 0.5, 0.95], abs=SHARE)
