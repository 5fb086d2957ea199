"""Simulated lives with their truth: what do sensors make of watches that were lifted, worn, wound, or left to stop?"""

from collections import Counter
from datetime import timedelta
from functools import partial

import pytest

from tests.core.sensedlives import Life, heard, live, sent
from tracker.core.likelihood import Run
from tracker.core.prior import Prior
from tracker.core.reserve import estimate, prior_for
from tracker.core.rundown import RunDown, run_downs
from tracker.core.sensed import sensed
from tracker.core.toosoon import EARLIEST_RISK
from tracker.core.watch import Watch
from tracker.core.windby import hours_at_risk

SECOND = timedelta(seconds=1)


def _earliest(prior: Prior, runs: tuple[Run, ...], age_years: float) -> float:
    return hours_at_risk(estimate(runs, prior, now_years=age_years).next_run, EARLIEST_RISK)


def _heard(one: Life, *, outages: int) -> list[RunDown]:
    """The run-downs that the sensor told of."""
    stated_h = one.reserve_h * one.chance.lognormvariate(0.0, 0.1)
    watch = Watch(uid="w", nickname="Night ferry", stated_reserve_h=stated_h)
    earliest = partial(_earliest, prior_for(stated_h, None))
    notes = sensed(watch, one.entries, heard(sent(one, outages=outages)), earliest).notes
    return [run for run in run_downs(watch, notes).runs if run.ended_by == "stop heard"]


def _brackets_the_truth(one: Life, run: RunDown) -> bool:
    assert run.heard_until is not None
    stood_s = one.stood_s[run.wind_uid]
    return (run.heard_until - SECOND).timestamp() <= stood_s <= (run.ended_at + SECOND).timestamp()


@pytest.mark.parametrize("notes_all", [True, False])
def test_no_watch_lifted_and_worn_put_back_or_wound_going_becomes_a_run_down(notes_all: bool) -> None:  # noqa: FBT001
    """Whoever lifts a watch late in its run, leaves it elsewhere and notes nothing until it stands is taken at the word."""
    told, false = 0, Counter[str]()
    for seed in range(5):
        one = live(seed, notes_all=notes_all)
        for run in _heard(one, outages=4):
            told += 1
            if not _brackets_the_truth(one, run):
                assert "left elsewhere" in one.fates[run.wind_uid]
                false["left elsewhere"] += 1
            elif run.evidence.ended:
                (low_h, high_h), lasted_h = run.evidence.spans_h[0], one.lasted_h[run.wind_uid]
                assert low_h - 0.1 <= lasted_h <= high_h + 0.1
    assert told > 10
    assert false.total() < told / 4


def test_nearly_every_stop_on_the_sensor_is_told_where_nothing_else_happened() -> None:
    """The rest came before the 1 % point, or the sensor could not tell that it had been put back."""
    stood, told = set[tuple[int, str]](), set[tuple[int, str]]()
    for seed in range(100, 103):
        one = live(seed, notes_all=True)
        told |= {(seed, run.wind_uid) for run in _heard(one, outages=0) if _brackets_the_truth(one, run)}
        stood |= {(seed, uid) for uid, fates in one.fates.items() if fates == {"stopped"}}
    assert len(told & stood) > 0.9 * len(stood)
