import math

import pytest

from tracker.core.evidence import exact
from tracker.core.likelihood import Run, rows_of
from tracker.core.prior import prior_for
from tracker.core.steady import steady

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
