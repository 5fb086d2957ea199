"""The simulated year as it was measured, and four weeks of it lived now: printed, never judged.

`python -m pytest tests/bench/bench_planned_year.py -s` (files of this name are not collected otherwise); the whole is
`python -m tests.year.run`.
"""

from dataclasses import asdict

import pytest

from tests.year.household import HOUSEHOLDS
from tests.year.life import lived, warmed
from tests.year.page import section, stored
from tests.year.policies import POLICIES

WEEKS = 4
OWNERS = (1, 2)


@pytest.mark.bench
def test_a_year_by_every_policy() -> None:
    kind = list(HOUSEHOLDS)[-1]
    now = [
        {"task": [owner, kind, policy], "model": "now", "weeks": WEEKS, **asdict(lived(owner, watches, policy, WEEKS))}
        for owner in OWNERS
        for watches in [warmed(owner, kind)]
        for policy in POLICIES
    ]
    print(f"\nAs stored\n\n{section(stored())}\nNow\n\n{section(now)}")  # noqa: T201 (a table for people is all it is for)
