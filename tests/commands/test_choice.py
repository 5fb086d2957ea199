from collections.abc import Callable
from datetime import UTC, datetime, timedelta

import pytest

from tracker.commands.base import Who
from tracker.commands.build import build
from tracker.commands.door import COMMANDS, submit
from tracker.commands.undo import Undo
from tracker.errors import BadInput, NotFound
from tracker.store.choices import chosen
from tracker.store.store import Store

FRIDAY, SATURDAY = datetime(2026, 11, 27, 6, 30, tzinfo=UTC), datetime(2026, 11, 28, 8, tzinfo=UTC)
Give = Callable[..., str]


def test_the_round_chosen_last_is_the_one_that_holds(store: Store, give: Give, anna: str) -> None:
    give("ChooseRound", watch_uid=anna, at=FRIDAY)
    give("ChooseRound", watch_uid=anna, at=SATURDAY)
    assert chosen(store.reading()) == {anna: SATURDAY}


def test_undone_the_one_before_holds_again(store: Store, give: Give, anna: str, who: Who) -> None:
    give("ChooseRound", watch_uid=anna, at=FRIDAY)
    give("ChooseRound", watch_uid=anna, at=SATURDAY)
    submit(store, [Undo()], who)
    assert chosen(store.reading()) == {anna: FRIDAY}


def test_it_ends_with_the_next_winding_and_comes_back_if_that_is_taken_back(
    store: Store, give: Give, anna: str, who: Who
) -> None:
    give("ChooseRound", watch_uid=anna, at=FRIDAY)
    give("LogWind", watch_uid=anna, at=who.now, zone="UTC")
    assert chosen(store.reading()) == {}
    submit(store, [Undo()], who)
    assert chosen(store.reading()) == {anna: FRIDAY}


def test_a_winding_noted_afterwards_for_an_earlier_time_leaves_it(
    store: Store, give: Give, anna: str, who: Who
) -> None:
    give("LogWind", watch_uid=anna, at=who.now - timedelta(hours=3), zone="UTC")
    give("ChooseRound", watch_uid=anna, at=FRIDAY)
    give("LogWind", watch_uid=anna, at=who.now - timedelta(days=3), zone="UTC")
    assert chosen(store.reading()) == {anna: FRIDAY}


def test_left_to_the_plan_again_nothing_is_chosen(store: Store, give: Give, anna: str, who: Who) -> None:
    give("ChooseRound", watch_uid=anna, at=FRIDAY)
    give("LetPlanDecide", watch_uid=anna)
    assert chosen(store.reading()) == {}
    with pytest.raises(NotFound, match="the plan decides"):
        submit(store, [build(COMMANDS["LetPlanDecide"], {"watch_uid": anna})], who)


def test_a_round_that_has_passed_is_refused(store: Store, anna: str, who: Who) -> None:
    past = build(COMMANDS["ChooseRound"], {"watch_uid": anna, "at": who.now - timedelta(minutes=1)})
    with pytest.raises(BadInput, match="has passed"):
        submit(store, [past], who)


def test_nor_can_one_be_chosen_for_a_watch_that_is_not_there(store: Store, who: Who) -> None:
    with pytest.raises(NotFound, match="no such watch"):
        submit(store, [build(COMMANDS["ChooseRound"], {"watch_uid": who.person_uid, "at": FRIDAY})], who)
