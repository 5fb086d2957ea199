"""Registering, editing and putting away watches."""

from collections.abc import Callable

import pytest

from tracker.commands.base import Who
from tracker.commands.door import submit
from tracker.commands.register import EditWatch
from tracker.errors import BadInput, Conflict, GoingError, NotFound
from tracker.store import register
from tracker.store.store import Store
from tracker.uids import uid_of

Give = Callable[..., str]
STALE = "Someone changed this since you opened it; nothing was saved. Look again, then repeat."


def _refusal(kind: type[GoingError], act: Callable[[], object]) -> str:
    with pytest.raises(kind) as caught:
        act()
    return caught.value.sentence


def test_a_watch_comes_back_as_it_was_registered(store: Store, give: Give) -> None:
    uid = give(
        "RegisterWatch", nickname=" Anna ", habit="on weekdays", habit_weekdays="Mon,Fri", date_window="yes",
        stated_reserve_h="40,5", dial_hours="24", screw_down_crown=True, crown_turns_to_full="",
    )  # fmt: skip
    watch = register.watch(store.reading(), uid)
    assert watch is not None
    assert (watch.nickname, watch.habit_weekdays, watch.stated_reserve_h) == ("Anna", ("Mon", "Fri"), 40.5)
    assert (watch.date_window, watch.screw_down_crown, watch.dial_hours) == (True, True, 24)
    assert (watch.crown_turns_to_full, watch.archived_at, watch.version) == (None, None, 1)


@pytest.mark.parametrize("other", ["Zoë", "ZOË", "zoë", " Zoë ", "Zoe\N{COMBINING DIAERESIS}"])
def test_a_nickname_is_one_watchs_whatever_its_capitals_and_accents(other: str, give: Give) -> None:
    give("RegisterWatch", nickname="Zoë")
    said = _refusal(BadInput, lambda: give("RegisterWatch", nickname=other))
    assert said == f"There is already a watch called “{other.strip()}” (in the collection). Choose another nickname."


def test_a_watch_put_away_keeps_its_nickname(give: Give, anna: str) -> None:
    give("ArchiveWatch", watch_uid=anna)
    said = _refusal(BadInput, lambda: give("RegisterWatch", nickname="anna"))
    assert said == "There is already a watch called “anna” (put away). Choose another nickname."


def test_a_watch_may_change_the_capitals_of_its_own_nickname(store: Store, give: Give, anna: str) -> None:
    give("EditWatch", watch_uid=anna, nickname="ANNA")
    assert [watch.nickname for watch in register.watches(store.reading())] == ["ANNA"]
    give("RegisterWatch", nickname="Berta")
    said = _refusal(BadInput, lambda: give("EditWatch", watch_uid=anna, nickname="berta"))
    assert said == "There is already a watch called “berta” (in the collection). Choose another nickname."


@pytest.mark.parametrize("kind", ["EditWatch", "ArchiveWatch", "BringBackWatch"])
def test_there_is_no_changing_a_watch_that_is_not_there(kind: str, give: Give) -> None:
    fields = {"nickname": "Nobody"} if kind == "EditWatch" else {}
    said = _refusal(NotFound, lambda: give(kind, watch_uid=uid_of("none"), **fields))
    assert said == "There is no such watch, or no longer."


def test_a_stale_edit_is_a_conflict_and_changes_nothing(store: Store, give: Give, anna: str) -> None:
    give("EditWatch", watch_uid=anna, version=1, nickname="Anne")
    assert _refusal(Conflict, lambda: give("EditWatch", watch_uid=anna, version=1, nickname="Anja")) == STALE
    assert _refusal(Conflict, lambda: give("ArchiveWatch", watch_uid=anna, version=1)) == STALE
    assert [watch.nickname for watch in register.watches(store.reading())] == ["Anne"]


def test_an_edit_that_saw_no_version_is_taken(store: Store, who: Who, anna: str) -> None:
    submit(store, [EditWatch(watch_uid=anna, nickname="Anne"), EditWatch(watch_uid=anna, nickname="Anja")], who)
    watch = register.watch(store.reading(), anna)
    assert watch is not None
    assert (watch.nickname, watch.version) == ("Anja", 3)


def test_a_watch_is_put_away_once_and_brought_back_once(store: Store, give: Give, anna: str) -> None:
    assert _refusal(Conflict, lambda: give("BringBackWatch", watch_uid=anna)) == "Anna is in the collection already."
    give("ArchiveWatch", watch_uid=anna)
    assert register.watches(store.reading()) == []
    assert _refusal(Conflict, lambda: give("ArchiveWatch", watch_uid=anna)) == "Anna is put away already."
    assert [watch.nickname for watch in register.watches(store.reading(), archived=True)] == ["Anna"]
    give("BringBackWatch", watch_uid=anna)
    assert [watch.nickname for watch in register.watches(store.reading())] == ["Anna"]
