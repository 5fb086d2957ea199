"""Killed at each step between planned, due, claimed, sent and marked: `make soak` does so 200 times, here it is 20."""

from datetime import datetime
from pathlib import Path

import pytest

from tests.reminders.hook import Hook
from tests.reminders.killed import STEPS, Step, killed_at


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("step", STEPS)
def test_none_is_lost_and_none_is_doubled_but_one_that_was_sent_and_not_marked(
    tmp_path: Path, hook: Hook, step: Step, seed: int, now: datetime
) -> None:
    found = killed_at(tmp_path, hook, step, seed, now)
    assert found.broken(step) == [], found
