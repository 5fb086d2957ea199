"""The log-likelihood beside log-normal fits of censored lifetimes from books: no prior, no odd runs, no change.

Data and fits are in lifetimes.json, each set with its source. Two sets come with lifelines itself. The fit of the shock
absorbers is published; all others were computed with independent programs, which agree. No curve without a shape of its
own is shown anywhere, so there is none to lay beside Turnbull's.
"""

import json
import math
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from lifelines.datasets import load_diabetes, load_lung
from scipy.optimize import minimize

from tracker.core.evidence import Evidence, at_least, at_most, between, exact, only_a_lower_bound
from tracker.core.likelihood import Plane, Rows, Run, log_likelihood, rows_of

SETS: dict[str, dict[str, Any]] = json.loads((Path(__file__).parent / "lifetimes.json").read_text("utf-8"))["sets"]


def told(low: float, high: float | None) -> Evidence:
    if high is None or high == math.inf:
        return at_least(low)
    if low == high:
        return exact(low)
    return between(low, high) if low > 0.0 else at_most(high)


def lives(name: str) -> list[Evidence]:
    if name == "lung_cancer":
        return [told(days, days if died else None) for days, died in load_lung()[["time", "status"]].to_numpy()]
    if name == "diabetes_nephropathy":
        return [told(low, high) for low, high in load_diabetes()[["left", "right"]].to_numpy()]
    return [told(low, high) for low, high, count in SETS[name]["rows"] for _ in range(count)]


def value(rows: Rows, mu: float, sigma: float) -> float:
    point = Plane(np.array([math.log(sigma)]), np.zeros(1), np.array([mu]), 0.0)
    return float(log_likelihood(rows, point, odd_share=0.0)[0, 0, 0, 0])


def rows_from(evidence: list[Evidence]) -> Rows:
    return rows_of([Run(0.0, life) for life in evidence], 1.0)


@pytest.mark.parametrize("name", SETS)
def test_the_likelihood_peaks_where_other_programs_find_the_fit(name: str) -> None:
    evidence, fits = lives(name), SETS[name]["fits"]
    rows, (mu, sigma, _) = rows_from(evidence), fits["written out"]
    fit = minimize(
        lambda at: -value(rows, at[0], math.exp(at[1])),
        (mu, 0.0),
        method="Nelder-Mead",
        options={"xatol": 1e-7, "fatol": 1e-9, "initial_simplex": [(mu + 0.2, 0.0), (mu, 0.3), (mu - 0.2, -0.3)]},
    )
    per_log_time = sum(math.log(life.spans_h[0][0]) for life in evidence if life.kind == "exact")
    assert len(evidence) == SETS[name]["count"]
    for program, (mu, sigma, log_l) in fits.items():
        assert (fit.x[0], math.exp(fit.x[1])) == pytest.approx((mu, sigma), rel=1e-3), program
        assert -fit.fun - per_log_time == pytest.approx(log_l, abs=1e-3), program


@pytest.mark.parametrize("name", SETS)
def test_a_set_with_ends_is_more_than_a_lower_bound(name: str) -> None:
    assert not only_a_lower_bound({life.kind: 1 for life in lives(name)})


@pytest.mark.parametrize("sigma", [0.1, 0.3, 1.0])
def test_what_never_ended_has_no_fit_and_is_called_only_a_lower_bound(sigma: float) -> None:
    """The likelihood rises with the median for ever; fits that are found all the same mean nothing."""
    evidence = [at_least(hours) for hours in (40.0, 42.0, 45.0, 50.0)]
    rows = rows_from(evidence)
    rising = [value(rows, mu, sigma) for mu in np.arange(3.5, 10.0, 0.25)]
    # Singles hold a probability to 1e-7 or so, four of them here: nearer to certainty no more than that can be told apart.
    assert all(later > sooner for sooner, later in pairwise(rising) if sooner < -1e-6)
    assert all(later >= sooner - 5e-7 for sooner, later in pairwise(rising))
    assert rising[0] < -0.1
    assert rising[-1] > -1e-7
    assert only_a_lower_bound({"at_least": len(evidence), "exact": 0})


def test_the_likelihood_of_what_never_ended_is_the_one_written_down() -> None:
    rows = rows_from([at_least(hours) for hours in (40.0, 42.0, 45.0, 50.0)])
    assert value(rows, 4.0, 0.1) == pytest.approx(-0.2423, abs=1e-4)
