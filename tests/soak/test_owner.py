"""Owners answer truly: a winding that was forgotten is noted late, one that was not is denied."""

import random

from tests.soak.goals import SKIPS
from tests.soak.life import Life, live
from tests.soak.owner import answered, read
from tests.soak.truth import Misfit, Truth
from tracker.core.heldback import Foreseen
from tracker.core.likelihood import Run
from tracker.core.rundown import History

LASTS_H = 41.0


def foresight(_runs: tuple[Run, ...], _age_years: float) -> Foreseen:
    return Foreseen(LASTS_H, LASTS_H + 4.0)


def a_year(misfit: Misfit) -> Life:
    return live(SKIPS, Truth(42.0, LASTS_H, 0.03, "stable", 9.0, misfit), random.Random(2), 1.0)


def long(history: History) -> list[float]:
    seen = (run.evidence.spans_h[0][0] for run in history.runs if run.evidence.spans_h)
    return [hours for hours in seen if hours > LASTS_H + 4.0]


def test_no_run_stays_too_long_for_want_of_a_note() -> None:
    life = a_year("forgotten, asked")
    assert len(long(read(life))) > 5
    history = answered(life, foresight)
    assert not any(run.nothing_between for run in history.runs)
    assert long(history) == []


def test_an_odd_run_is_vouched_for() -> None:
    life = a_year("none")
    odd = long(read(life))
    history = answered(life, foresight)
    assert long(history) == odd
    assert sum(run.nothing_between for run in history.runs) == len(odd)
