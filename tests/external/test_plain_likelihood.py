"""What the tables of the likelihood say, beside the same runs taken one by one at single points of the lattice."""

import math
import random

import numpy as np
import pytest

from tracker.core.evidence import at_least, at_most, between, exact
from tracker.core.likelihood import Plane, Run, log_likelihood
from tracker.core.rows import rows_of

NEAR = 20.0
"""Points whose logarithm lies further below the highest weigh nothing."""


def noted(count: int, years: float) -> list[Run]:
    throws, runs = random.Random(5), []
    for number in range(count):
        hours = 41.0 * math.exp(throws.gauss(0.0, 0.037))
        told = (exact(hours), between(hours - throws.uniform(0, 9), hours + throws.uniform(0, 9)), at_most(hours + 3.0))
        runs.append(Run(years * number / count, (*told, at_least(hours - 2.0))[throws.randrange(4)]))
    return runs


def plane(levels: int, least: float) -> Plane:
    return Plane(
        np.linspace(math.log(least), math.log(0.09), 8),
        np.linspace(-0.06, 0.06, 7),
        np.linspace(-0.4, 0.4, levels),
        3.0,
    )


@pytest.mark.parametrize("levels", [9, 17, 33])
@pytest.mark.parametrize("least", [0.003, 0.02])
def test_a_coarse_lattice_says_what_the_runs_say(levels: int, least: float) -> None:
    rows, lattice, splits = rows_of(noted(60, 6.0), 42.0), plane(levels, least), np.array([1.0, 4.0])
    found = log_likelihood(rows, lattice, splits).sum(0)
    plain = np.empty_like(found)
    for b, c in np.ndindex(lattice.shape[1:]):
        point = Plane(lattice.log_sigma, lattice.slope[[b]], lattice.level[[c]], lattice.at_age)
        plain[:, b, c] = log_likelihood(rows, point, splits).sum(0)[:, 0, 0]
    likely = plain > plain.max() - NEAR
    assert np.abs(found - plain)[likely].max() < 1.0
    assert found[~likely].max() < plain.max() - NEAR + 1.0
