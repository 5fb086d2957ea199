"""How long a next run lasts, roughly, beside the model worked out closely."""

import math
import random
from collections.abc import Callable

import pytest

from tests.bench.bench_reserve import mixed
from tracker.core.evidence import Evidence, at_least, exact
from tracker.core.lasting import ended_by
from tracker.core.likelihood import Run
from tracker.core.reserve import _estimate, prior_for
from tracker.core.windby import hours_at_risk

RISKS = (0.02, 0.5, 0.975)
NOW_YEARS = 5.0


def known(count: int) -> list[Run]:
    """Runs whose end is known."""
    throws = random.Random(3)
    return [Run(throws.uniform(0.0, NOW_YEARS), exact(40.0 * throws.lognormvariate(0.0, 0.03))) for _ in range(count)]


def short(count: int) -> list[Run]:
    """Runs that hardly tell anything."""
    throws = random.Random(4)
    return [Run(throws.uniform(0.0, NOW_YEARS), at_least(throws.uniform(20.0, 30.0))) for _ in range(count)]


def hands(count: int) -> list[Run]:
    """Hands of a stopped watch, alone: one of many moments half a day apart."""
    throws = random.Random(5)
    runs = []
    for _ in range(count):
        stop = 40.0 * throws.lognormvariate(0.0, 0.03)
        spans = tuple((stop + 12 * n - 0.1, stop + 12 * n + 0.1) for n in range(-2, 6))
        runs.append(Run(throws.uniform(0.0, NOW_YEARS), Evidence("one_of", spans)))
    return runs


@pytest.mark.parametrize("made", [known, short, hands, mixed])
@pytest.mark.parametrize("count", [0, 1, 3, 10, 40, 300])
def test_it_is_near_the_close_model_beside_how_widely_runs_scatter(
    made: Callable[[int], list[Run]], count: int
) -> None:
    runs, prior = made(count), prior_for(42.0)
    closely = _estimate(runs, prior, NOW_YEARS, 0.1, sudden=False).next_run
    wanted = [math.log(hours_at_risk(closely, risk)) for risk in RISKS]
    found = [math.log(hours) for hours in ended_by(runs, prior, NOW_YEARS, RISKS)]
    assert found == pytest.approx(wanted, abs=0.03 * (wanted[-1] - wanted[0]))


def test_a_stated_reserve_far_from_the_runs_is_no_trap() -> None:
    runs = known(60)
    low, high = ended_by(runs, prior_for(120.0), NOW_YEARS, (0.05, 0.95))
    assert 36 < low < 40 < high < 44
