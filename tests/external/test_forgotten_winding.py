"""A winding that nobody noted lengthens no reserve and moves no wind-by: shown on simulated logs, one winding left out."""

import random
from functools import partial

import pytest

from tests.soak.evaluate import segment_then
from tests.soak.goals import BENCH, DAILY, HANDS, ROTATES, SENSOR, SKIPS
from tests.soak.life import START, YEAR, live
from tests.soak.owner import WATCH
from tests.soak.truth import Truth
from tracker.core.reserve import Estimate, estimate, prior_for
from tracker.core.rundown import run_downs
from tracker.core.timeline import Entry, Wind
from tracker.core.windby import hours_at_risk
from tracker.foresight import too_long

TRUTH = Truth(42.0, 41.0, 0.035, "stable", 9.0, "none")
NOW = 0.75
HARDLY = 1.005
"""The run that the winding began is no longer there, and may have been a short one."""


def found(notes: list[Entry]) -> Estimate:
    prior = prior_for(TRUTH.stated_h)
    segment = segment_then(run_downs(WATCH, notes), START + NOW * YEAR, partial(too_long, prior))
    return estimate(segment.runs, prior, now_years=segment.now_years)


@pytest.mark.parametrize("habit", [DAILY, SKIPS, BENCH, ROTATES, HANDS, SENSOR])
def test_a_winding_left_out_lengthens_nothing(habit: str) -> None:
    throws = random.Random(8)
    notes = live(habit, TRUTH, throws, NOW).entries
    whole = found(notes)
    late = [note for note in notes if isinstance(note, Wind) and 0.4 < (note.at - START) / YEAR < 0.7]
    for forgotten in throws.sample(late, 3):
        without = found([note for note in notes if note is not forgotten])
        assert without.reserve_h.mid <= HARDLY * whole.reserve_h.mid
        assert hours_at_risk(without.next_run, 0.05) <= HARDLY * hours_at_risk(whole.next_run, 0.05)
