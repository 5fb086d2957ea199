"""Answers of the reserve's model by brute force, written apart from the program: plain sums over a fine grid, scipy's cdf.

The model: x = log(T / stated) ~ Normal(c + b1·a + d·[a > change], sigma); 3 % of runs are Normal(−0.20, 0.50) instead.
Every integral is a trapezoid sum over c, b1, log sigma and the level after the drop; the likelihood does not depend on
where in a gap between two runs the change lies, so each gap counts by its length. Nothing of tracker is imported.

`python tests/external/make_reserve_reference.py` writes reserve_reference.json beside it (some twenty minutes).
"""

import json
import math
import random
import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.special import ndtr

ODD = 0.03
TINY = 1e-300
BINS = 4000
STATED, NO_STATED = 0.12, 0.35
NAMES = ("log_sigma", "slope", "first", "after")

Array = NDArray[np.float64]
Document = dict[str, Any]
Box = dict[str, tuple[float, float]]
Size = tuple[float, int, int]
"""Step of the levels, number of scatters, number of slopes."""


def spans_of(run: Document) -> tuple[bool, list[tuple[float, float]]]:
    """Whether a run of the file form is a known moment, and its intervals of hours."""
    if "exact_h" in run:
        return True, [(run["exact_h"], run["exact_h"])]
    if "between_h" in run:
        return False, [(run["between_h"][0], run["between_h"][1])]
    if "at_least_h" in run:
        return False, [(run["at_least_h"], math.inf)]
    if "at_most_h" in run:
        return False, [(0.0, run["at_most_h"])]
    return False, [(moment - run["within_h"], moment + run["within_h"]) for moment in run["one_of_h"]]


def chance(run: Document, stated: float, centre: Array | float, sigma: float) -> Array:
    """Probability (density) of what was noted, the log of T / stated being Normal(centre, sigma)."""
    dense, spans = spans_of(run)
    total = np.zeros(np.shape(centre))
    for low, high in spans:
        if dense:
            total = total + normal(math.log(low / stated), centre, sigma)
            continue
        above = 1.0 if high == math.inf else ndtr((math.log(high / stated) - centre) / sigma)
        below = 0.0 if low <= 0.0 else ndtr((math.log(low / stated) - centre) / sigma)
        total = total + above - below
    return total


def normal(x: Array | float, mean: Array | float, sd: float) -> Array:
    z = (np.asarray(x) - mean) / sd
    density: Array = np.exp(-z * z / 2.0) / (sd * math.sqrt(2.0 * math.pi))
    return density


def log_chance(run: Document, stated: float, centre: Array, sigma: float) -> Array:
    mixed = (1.0 - ODD) * chance(run, stated, centre, sigma) + ODD * chance(run, stated, -0.20, 0.50)
    logs: Array = np.log(np.maximum(mixed, TINY))
    return logs


@dataclass
class Problem:
    """A document of the file form, and the axes of the grid: log sigma, b1, c, level after the drop at age 0."""

    document: Document
    axes: tuple[Array, Array, Array, Array]
    step: float
    now: float = field(init=False)
    stated: float = field(init=False)
    runs: list[Document] = field(init=False)

    def __post_init__(self) -> None:
        self.now = float(self.document["now_years"])
        self.stated = float(self.document.get("stated_h", 42.0))
        self.runs = sorted(self.document["runs"], key=lambda run: float(run["age_years"]))

    def gap_shares(self) -> Array:
        """Share of the time since the service that lies before each run, and after the last."""
        ages = [run["age_years"] for run in self.runs]
        return np.diff(np.array([0.0, *ages, self.now])) / self.now


@dataclass
class Sums:
    """What is gathered over the grid."""

    edges: Array
    now: Array
    first: Array
    marginals: dict[str, Array]
    sudden: float = 0.0
    fallen: float = 0.0


def problem_in(document: Document, box: Box, size: Size) -> Problem:
    step, scatters, slopes = size
    levels = [
        np.arange(math.floor(box[name][0] / step), math.ceil(box[name][1] / step) + 1, dtype=np.float64) * step
        for name in NAMES[2:]
    ]
    axes = (np.linspace(*box["log_sigma"], scatters), np.linspace(*box["slope"], slopes), levels[0], levels[1])
    return Problem(document, axes, step)


def cumulated(problem: Problem, sigma: float, slope: float) -> tuple[Array, Array]:
    """Log-likelihood of the runs before each gap over c, and of those after it over the level after the drop."""
    _, _, first, after = problem.axes

    def terms(level: Array) -> Array:
        rows = [log_chance(run, problem.stated, level + slope * run["age_years"], sigma) for run in problem.runs]
        return np.array(rows).reshape(len(rows), level.size)

    before = np.vstack([np.zeros(first.size), np.cumsum(terms(first), axis=0)])
    since = np.vstack([np.cumsum(terms(after)[::-1], axis=0)[::-1], np.zeros(after.size)])
    return before, since


def drop_weights(problem: Problem, shallowest: float) -> Array:
    """Trapezoid weights over (c, level after) of drops from −0.6 to a bound, linear where it lies inside a step."""
    _, _, first, after = problem.axes
    drop = after[None, :] - first[:, None]
    below = [np.clip((bound - drop) / problem.step + 0.5, 0.0, 1.0) for bound in (-0.6, shallowest)]
    weights: Array = np.maximum(below[1] - below[0], 0.0) * problem.step / 0.5
    return weights


def spread(row: Array, edges: Array, points: Array, weights: Array, smear: float) -> None:
    """Add weights at evenly spaced points to a histogram, each spread evenly over its cell and by `smear` more."""
    step = points[1] - points[0]
    nodes = np.append(points - step / 2.0, points[-1] + step / 2.0)
    rising = np.append(0.0, np.cumsum(weights))
    moves = np.linspace(-0.5, 0.5, 9) * smear
    row += np.diff(np.mean([np.interp(edges, nodes + move, rising) for move in moves], axis=0))


def empty_sums(problem: Problem) -> Sums:
    log_sigma, slope, first, after = problem.axes
    low = min(after[0], first[0]) + min(0.0, slope[0] * problem.now) - 0.1
    high = first[-1] + max(0.0, slope[-1] * problem.now) + 0.1
    marginals = {name: np.zeros(axis.size) for name, axis in zip(NAMES, problem.axes, strict=True)}
    return Sums(np.linspace(low, high, BINS + 1), np.zeros((log_sigma.size, BINS)), np.zeros(BINS), marginals)


def integrate(problem: Problem) -> Sums:
    """Sum over the whole grid, in two sweeps: the highest point first, so that nothing overflows."""
    log_sigma, slope, _, _ = problem.axes
    top = -math.inf
    cells = []
    for i, s in enumerate(log_sigma):
        for j, b in enumerate(slope):
            before, since = cumulated(problem, math.exp(s), float(b))
            weight = math.log(float(normal(s, math.log(0.04), 0.5) * normal(b, -0.01, 0.04)))
            top = max(top, weight + float((before.max(1) + since.max(1)).max()), weight + float(before[-1].max()))
            cells.append((i, j, before, since, weight))
    sums = empty_sums(problem)
    for i, j, before, since, weight in cells:
        gather(problem, sums, (i, j), (before, since), weight - top)
    return sums


def gather(problem: Problem, sums: Sums, at: tuple[int, int], terms: tuple[Array, Array], weight: float) -> None:
    """Add one (sigma, b1) to the sums; `weight` is the log of its prior, less the highest point."""
    _, slopes, first, after = problem.axes
    before, since = terms
    slope, now = float(slopes[at[1]]), problem.now
    prior = normal(first, -0.02, STATED if "stated_h" in problem.document else NO_STATED) * problem.step
    p_change = 1.0 - math.exp(-0.03 * now)
    never = np.exp(before[-1] + weight) * prior * (1.0 - p_change)
    peaks = before.max(1), since.max(1)
    scale = np.exp(peaks[0] + peaks[1] + weight) * p_change * problem.gap_shares()
    joint = (np.exp(before - peaks[0][:, None]) * scale[:, None]).T @ np.exp(since - peaks[1][:, None])
    joint *= prior[:, None]
    changed = joint * drop_weights(problem, -0.1)
    needed = math.log(1.0 - problem.document.get("threshold", 0.10)) - slope * now
    cell = slopes[1] - slopes[0]
    share = min(1.0, max(0.0, needed / now / cell + 0.5))
    sums.sudden += float(changed.sum())
    sums.fallen += float((joint * drop_weights(problem, min(-0.1, max(-0.6, needed)))).sum() + never.sum() * share)
    spread(sums.now[at[0]], sums.edges, first + slope * now, never, cell * now)
    spread(sums.now[at[0]], sums.edges, after + slope * now, changed.sum(0), cell * now)
    spread(sums.first, sums.edges, first, never + changed.sum(1), 0.0)
    sums.marginals["log_sigma"][at[0]] += changed.sum() + never.sum()
    sums.marginals["slope"][at[1]] += changed.sum() + never.sum()
    sums.marginals["first"] += never + changed.sum(1)
    sums.marginals["after"] += changed.sum(0)


def shrunk(problem: Problem, sums: Sums) -> Box:
    """Boxes of what holds more than 1e-9 of each marginal's peak, with two cells of margin."""
    box = {}
    for name, axis in zip(NAMES, problem.axes, strict=True):
        inside = np.flatnonzero(sums.marginals[name] > 1e-9 * sums.marginals[name].max())
        margin = 2.0 * (axis[1] - axis[0])
        box[name] = (float(axis[inside[0]] - margin), float(axis[inside[-1]] + margin))
    return box


def reference(document: Document, fine: Size, coarse: Size = (0.01, 16, 41), reach: float = 0.66) -> Document:
    """The answer of the file form, but for its counts: over a coarse grid first, over a fine one where the mass lies."""
    reach = reach if "stated_h" in document else 5.5 * NO_STATED
    box = {
        "log_sigma": (math.log(0.04) - 2.75, math.log(0.04) + 2.75),
        "slope": (-0.25, 0.23),
        "first": (-0.02 - reach, -0.02 + reach),
        "after": (-0.62 - reach, -0.12 + reach),
    }
    rough = problem_in(document, box, coarse)
    problem = problem_in(document, shrunk(rough, integrate(rough)), fine)
    return answer(problem, integrate(problem))


def answer(problem: Problem, sums: Sums) -> Document:
    stated, total = problem.stated, float(sums.now.sum())
    axis = problem.axes[1]
    slope_edges = np.append(axis, 2 * axis[-1] - axis[-2]) - (axis[1] - axis[0]) / 2.0
    return {
        "reserve_h": band(sums.edges, sums.now.sum(0), lambda y: stated * math.exp(y)),
        "baseline_h": band(sums.edges, sums.first, lambda y: stated * math.exp(y)),
        "wind_by_h": wind_by(problem, sums),
        "decline": {
            "probability": round(sums.fallen / total, 5),
            "sudden_probability": round(sums.sudden / total, 5),
            "per_year": band(slope_edges, sums.marginals["slope"], lambda y: y),
        },
    }


def band(edges: Array, masses: Array, shown: Callable[[float], float]) -> dict[str, float]:
    rising = np.append(0.0, np.cumsum(masses)) / masses.sum()
    points = np.interp((0.05, 0.5, 0.95), rising, edges)
    return {name: round(shown(float(point)), 5) for name, point in zip(("low", "mid", "high"), points, strict=True)}


def wind_by(problem: Problem, sums: Sums) -> dict[str, float]:
    sigma, middle = np.exp(problem.axes[0]), (sums.edges[1:] + sums.edges[:-1]) / 2.0

    def still_going(log_t: float) -> float:
        return float((sums.now * ndtr((middle[None, :] - log_t) / sigma[:, None])).sum() / sums.now.sum())

    seen = problem.document.get("seen_going_h", 0.0)
    given = still_going(math.log(seen / problem.stated)) if seen else 1.0
    found = {}
    for risk in ("0.01", "0.05", "0.10"):
        target = (1.0 - float(risk)) * given
        root = brentq(lambda y, target=target: still_going(y) - target, -3.0, 3.0, xtol=1e-10)
        found[risk] = round(problem.stated * math.exp(root), 5)
    return found


def simulated(
    seed: int,
    count: int,
    years: float,
    *,
    level: float = 0.0,
    per_year: float = -0.01,
    sigma: float = 0.03,
    drop_at: float = math.inf,
    drop: float = 0.0,
    kinds: str = "eblmo",
    stated: float = 42.0,
) -> list[Document]:
    """Runs drawn from the model, rounded to a tenth of an hour: e exact, b between, l at least, m at most, o hands."""
    rng = np.random.default_rng(seed)
    runs = []
    for age in np.sort(rng.uniform(0.02, years, count)).round(3):
        centre = level + per_year * age + (drop if age > drop_at else 0.0)
        hours = float(stated * math.exp(rng.normal(centre, sigma)))
        kind = kinds[rng.integers(len(kinds))]
        low, high = hours * rng.uniform(0.6, 0.97), hours * rng.uniform(1.02, 1.4)
        run: Document = {"age_years": float(age)}
        if kind == "e":
            run["exact_h"] = round(hours, 1)
        elif kind == "b":
            run["between_h"] = [round(low, 1), round(high, 1)]
        elif kind == "l":
            run["at_least_h"] = round(low, 1)
        elif kind == "m":
            run["at_most_h"] = round(high, 1)
        else:
            run |= {"one_of_h": [round(hours - 12, 1), round(hours, 1)], "within_h": 0.3}
        runs.append(run)
    return runs


def hands_alone(count: int) -> list[Document]:
    """Found stopped after days, each time with the hands read: every twelve hours may have been the stop."""
    rng = random.Random(40)
    found = []
    for i in range(count):
        hours = 41.0 * math.exp(rng.gauss(0.0, 0.033))
        moments = [round(hours + 12.0 * k, 3) for k in range(-2, 4)]
        found.append({"age_years": round(0.05 + 1.9 * i / count, 4), "one_of_h": moments, "within_h": 0.2})
    return found


def cases() -> dict[str, Document]:
    mixed = simulated(3, 18, 2.4)
    contaminated = simulated(8, 14, 2.4, kinds="eeb")
    contaminated[4] = {"age_years": contaminated[4]["age_years"], "exact_h": 19.0}
    contaminated[9] = {"age_years": contaminated[9]["age_years"], "exact_h": 66.0}
    hands = simulated(11, 10, 1.9, kinds="o")
    hands[3] = {"age_years": hands[3]["age_years"], "one_of_h": [5.1, 17.1, 29.1, 41.1], "within_h": 0.2}
    return {
        "no data": {"stated_h": 42, "now_years": 2.5, "runs": []},
        "no data and no stated reserve": {"now_years": 2.5, "runs": []},
        "one exact": {"stated_h": 42, "now_years": 0.5, "runs": [{"age_years": 0.4, "exact_h": 38.0}]},
        "few": {
            "stated_h": 42,
            "now_years": 2.5,
            "threshold": 0.10,
            "seen_going_h": 26.0,
            "runs": [
                {"age_years": 0.2, "exact_h": 41.3},
                {"age_years": 0.9, "between_h": [26, 38]},
                {"age_years": 1.2, "at_least_h": 26},
                {"age_years": 1.4, "at_most_h": 38},
                {"age_years": 1.5, "one_of_h": [29.6, 41.6], "within_h": 0.1},
            ],
        },
        "all at least": {"stated_h": 42, "now_years": 3.0, "runs": simulated(5, 24, 3.0, kinds="l")},
        "all at least, above the stated": {
            "stated_h": 42,
            "now_years": 2.0,
            "runs": [{"age_years": round(0.1 * i, 2), "at_least_h": 44.0 + i % 4} for i in range(1, 20)],
        },
        "between only": {"stated_h": 42, "now_years": 2.0, "runs": simulated(6, 12, 2.0, kinds="b")},
        "mixed": {"stated_h": 42, "now_years": 2.5, "runs": mixed},
        "mixed, no stated reserve": {"now_years": 2.5, "runs": mixed[:10]},
        "declining": {"stated_h": 42, "now_years": 5.0, "runs": simulated(7, 20, 4.9, per_year=-0.05)},
        "dropped": {"stated_h": 42, "now_years": 3.0, "runs": simulated(9, 20, 2.9, drop_at=1.8, drop=-0.3)},
        "dropped, two runs ago": {
            "stated_h": 42,
            "now_years": 3.0,
            "runs": simulated(10, 12, 2.9, drop_at=2.5, drop=-0.2, kinds="eb"),
        },
        "contaminated": {"stated_h": 42, "now_years": 2.5, "runs": contaminated},
        "hands": {"stated_h": 42, "now_years": 2.0, "runs": hands},
        "hands alone": {"stated_h": 42, "now_years": 2.0, "runs": hands_alone(40)},
        "eight days": {"stated_h": 192, "now_years": 2.0, "runs": simulated(12, 10, 1.9, level=-0.05, stated=192.0)},
        "seen going": {"stated_h": 42, "now_years": 2.5, "seen_going_h": 37.0, "runs": mixed},
        "seen going past the middle": {"stated_h": 42, "now_years": 2.5, "seen_going_h": 44.0, "runs": mixed},
        "stated twice too high": {
            "stated_h": 84,
            "now_years": 2.5,
            "runs": simulated(13, 12, 2.4, kinds="ebl"),
        },
        "five years of a rest sensor": {
            "stated_h": 42,
            "now_years": 5.0,
            "runs": simulated(14, 40, 4.9, per_year=-0.02, sigma=0.012, kinds="e"),
        },
    }


SIZE: Size = (0.0025, 36, 121)
SIZES: dict[str, Size] = {
    "no data and no stated reserve": (0.005, 36, 81),
    "mixed, no stated reserve": (0.005, 36, 81),
    "five years of a rest sensor": (0.00125, 40, 161),
}


def main() -> None:
    found = {}
    for name, document in cases().items():
        reach = 1.2 if name == "stated twice too high" else 0.66
        found[name] = {"document": document, "answer": reference(document, SIZES.get(name, SIZE), reach=reach)}
        sys.stdout.write(f"{name}: {found[name]['answer']}\n")
        sys.stdout.flush()
    Path(__file__).with_name("reserve_reference.json").write_text(json.dumps(found, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
