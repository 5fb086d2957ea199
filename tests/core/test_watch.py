from dataclasses import replace
from datetime import UTC, datetime
from typing import get_args

import pytest

from tracker.core.watch import CLASS_RESERVE_H, ReserveClass, Watch, WoundBy

KEPT = Watch(uid="w", nickname="Night ferry", habit="keep going")


@pytest.mark.parametrize("wound_by", get_args(WoundBy))
def test_only_a_rotor_winds_when_worn(wound_by: WoundBy) -> None:
    assert replace(KEPT, wound_by=wound_by).by_rotor is ("rotor" in wound_by)


@pytest.mark.parametrize(
    "other",
    [
        replace(KEPT, habit="when worn"),
        replace(KEPT, archived_at=datetime(2026, 3, 2, tzinfo=UTC)),
        replace(KEPT, reach="out of reach"),
        replace(KEPT, job_number="J-7"),
    ],
)
def test_a_watch_is_kept_while_in_use_in_reach_and_the_owners(other: Watch) -> None:
    assert KEPT.kept
    assert not other.kept


def test_a_job_number_makes_it_a_customers() -> None:
    assert (KEPT.customers, replace(KEPT, job_number="J-7").customers) == (False, True)


def test_every_class_of_reserve_stands_for_hours() -> None:
    assert set(CLASS_RESERVE_H) == set(get_args(ReserveClass))
