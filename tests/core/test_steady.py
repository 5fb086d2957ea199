import math
import random

import numpy as np
import pytest

from tracker.core import lattice
from tracker.core.evidence import Evidence, exact
from tracker.core.likelihood import Run, rows_of
from tracker.core.prior import prior_for
from tracker.core.steady import Steady, steady

PRIOR = prior_for(42.0)


def test_without_runs_the_evidence_is_one() -> None:
    found = steady(rows_of([], 42.0), PRIOR, 3.0)
    assert found.total * math.exp(found.log_scale) == pytest.approx(1.0, abs=1e-3)


def test_a_change_before_the_first_or_after_the_last_run_is_weighed_by_its_time() -> None:
    found = steady(rows_of([Run(1.0, exact(41.0)), Run(1.5, exact(41.5))], 42.0), PRIOR, 2.0)
    changed = 1.0 - math.exp(-0.06)
    assert found.late.sum() / found.kept.sum() == pytest.approx(changed * 0.25 / (1.0 - changed), rel=1e-6)
    assert 0.0 < found.early.sum() / found.kept.sum() < changed * 0.5 / (1.0 - changed)


def test_no_change_is_thought_of_when_told_so() -> None:
    found = steady(rows_of([Run(1.0, exact(41.0))], 42.0), PRIOR, 2.0, sudden=False)
    assert not found.early.any()
    assert not found.late.any()


def read_late(count: int) -> list[Run]:
    """Stops that only hands tell, found days later: moments twelve hours apart."""
    throws, runs = random.Random(9), []
    for place in range(count):
        stop = 41.0 * throws.lognormvariate(0.0, 0.03)
        spans = tuple((stop + 12 * n - 0.2, stop + 12 * n + 0.2) for n in range(-2, 5))
        runs.append(Run(0.02 * place, Evidence("one_of", spans)))
    return runs


def told(found: Steady) -> tuple[float, ...]:
    """Evidence, mean level at the end, its spread, mean slope."""
    mass = found.kept + found.early + found.late
    level, slope = found.plane.level_at(1.0), found.plane.slope
    share = mass.sum(0) / mass.sum()
    mean = float((share * level).sum())
    spread = math.sqrt(float((share * (level - mean) ** 2).sum()))
    return found.log_scale + math.log(found.total), mean, spread, float(share.sum(1) @ slope)


@pytest.mark.parametrize("count", [20, 30, 60])
def test_what_is_left_out_between_humps_changes_nothing(count: int, monkeypatch: pytest.MonkeyPatch) -> None:
    rows = rows_of(read_late(count), 42.0)
    by_parts = steady(rows, PRIOR, 1.3)
    monkeypatch.setattr(lattice, "within", lambda level, _parts: np.ones(level.size, dtype=np.bool_))
    whole = steady(rows, PRIOR, 1.3)
    assert by_parts.plane.level.size < whole.plane.level.size
    assert told(by_parts) == pytest.approx(told(whole), abs=2e-4)


def test_where_a_hump_was_cut_all_levels_are_looked_at(monkeypatch: pytest.MonkeyPatch) -> None:
    rows = rows_of(read_late(6), 42.0)
    expected, parts = told(steady(rows, PRIOR, 1.3)), lattice.parts

    def cut_in_two(*of: object) -> np.ndarray:
        found = parts(*of)  # type: ignore[arg-type]  # whatever is asked
        widest = int((found[:, 1] - found[:, 0]).argmax())
        low, high = found[widest]
        middle = 0.5 * (low + high)
        ends = np.array([[low, middle - 0.1 * (high - low)], [middle + 0.1 * (high - low), high]])
        return np.sort(np.concatenate([np.delete(found, widest, axis=0), ends]), axis=0)

    monkeypatch.setattr(lattice, "parts", cut_in_two)
    found = steady(rows, PRIOR, 1.3)
    assert len(found.plane.parts) == 1
    assert told(found) == pytest.approx(expected, abs=2e-3)
