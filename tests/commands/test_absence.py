from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from tracker.commands.absence import DropAbsence, KeepAbsence
from tracker.commands.base import Command, Who
from tracker.commands.door import submit
from tracker.commands.undo import Undo
from tracker.errors import Conflict, NotFound
from tracker.staying import come_back
from tracker.store.absences import absences, ahead, is_away
from tracker.store.store import Store

DAY = timedelta(days=1)
LEAVE, BACK = datetime(2026, 12, 4, 10, tzinfo=UTC), datetime(2026, 12, 8, 18, tzinfo=UTC)
TRIP = KeepAbsence(leave=LEAVE, back=BACK)


@pytest.fixture
def give(store: Store, who: Who) -> Callable[..., None]:
    def given(*commands: Command, now: datetime | None = None) -> None:
        submit(store, commands, replace(who, now=now or who.now))

    return given


def times(store: Store) -> list[tuple[datetime, datetime]]:
    return [(each.away.leave, each.away.back) for each in absences(store.reading())]


def test_an_absence_is_kept_and_dropped_and_both_can_be_taken_back(store: Store, give: Callable[..., None]) -> None:
    give(TRIP)
    assert times(store) == [(LEAVE, BACK)]
    give(DropAbsence(absence_uid=TRIP.uid))
    assert times(store) == []
    give(Undo())
    assert times(store) == [(LEAVE, BACK)]
    give(Undo())
    assert times(store) == []


def test_the_owner_is_away_from_leaving_until_the_return(store: Store, give: Callable[..., None]) -> None:
    give(TRIP)
    found = [is_away(store.reading(), LEAVE + hours * timedelta(hours=1)) for hours in (-1, 0, 103, 104, 105)]
    assert found == [False, True, True, False, False]
    assert ahead(store.reading(), BACK) == []


def test_two_absences_may_meet_and_not_overlap(store: Store, give: Callable[..., None]) -> None:
    give(TRIP)
    give(KeepAbsence(leave=BACK, back=BACK + DAY))
    assert len(times(store)) == 2
    with pytest.raises(Conflict):
        give(KeepAbsence(leave=LEAVE - DAY, back=LEAVE + DAY))
    assert len(times(store)) == 2


def test_another_takes_its_place_in_one_step(store: Store, give: Callable[..., None]) -> None:
    give(TRIP)
    give(KeepAbsence(leave=LEAVE, back=BACK + DAY, replaces=TRIP.uid))
    assert times(store) == [(LEAVE, BACK + DAY)]
    give(Undo())
    assert times(store) == [(LEAVE, BACK)]


def test_back_earlier_it_ends_now(store: Store, give: Callable[..., None]) -> None:
    give(TRIP)
    now = LEAVE + DAY
    give(come_back(store.reading(), now), now=now)
    assert times(store) == [(LEAVE, now)]
    assert not is_away(store.reading(), now)
    with pytest.raises(NotFound, match="You are not away"):
        come_back(store.reading(), now)
