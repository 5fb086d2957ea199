"""What undo takes back, in which order, and what it refuses."""

from collections.abc import Callable
from typing import Any

import pytest

from tracker.commands.base import Command, Who
from tracker.commands.build import build
from tracker.commands.door import COMMANDS, submit
from tracker.commands.undo import Undo
from tracker.errors import Conflict, GoingError, NotFound
from tracker.store import register
from tracker.store.store import Store
from tracker.uids import uid_of

AT = {"at": "2026-11-24T22:15Z", "zone": "UTC"}
CHANGED_SINCE = "This can't be undone: it was changed again since. Undo the later change first."

Give = Callable[..., str]
AsRead = Callable[[Store], Any]


def _refusal(kind: type[GoingError], store: Store, who: Who, batch: str | None = None) -> str:
    with pytest.raises(kind) as caught:
        submit(store, [Undo(batch=batch)], who)
    return caught.value.sentence


def _wind(watch: str, **more: Any) -> Command:
    return build(COMMANDS["LogWind"], {"watch_uid": watch, **AT, **more})


def test_each_undo_goes_one_further_back(store: Store, who: Who, give: Give, as_read: AsRead) -> None:
    seen = [as_read(store)]
    for kind, fields in (
        ("RegisterWatch", {"uid": uid_of("a"), "nickname": "Anna"}),
        ("EditWatch", {"watch_uid": uid_of("a"), "nickname": "Anne"}),
        ("EditWatch", {"watch_uid": uid_of("a"), "nickname": "Anne", "habit": "keep going"}),
        ("LogWind", {"watch_uid": uid_of("a"), **AT}),
        ("ChangeSettings", {"zone": "Asia/Kolkata"}),
        ("ChangeSettings", {"zone": "Asia/Kolkata", "notice_h": 1}),
        ("ArchiveWatch", {"watch_uid": uid_of("a")}),
        ("BringBackWatch", {"watch_uid": uid_of("a")}),
    ):
        give(kind, **fields)
        seen.append(as_read(store))
    while seen:
        assert as_read(store) == seen.pop()
        if seen:
            submit(store, [Undo()], who)
    assert _refusal(NotFound, store, who) == "There is nothing to undo."


def test_nothing_done_nothing_to_undo(store: Store, who: Who) -> None:
    assert _refusal(NotFound, store, who) == "There is nothing to undo."


def test_undo_takes_a_batch_back_as_a_whole(store: Store, who: Who, anna: str, as_read: AsRead) -> None:
    before = as_read(store)
    done = submit(
        store,
        [
            build(COMMANDS["RegisterWatch"], {"uid": uid_of("b"), "nickname": "Berta"}),
            build(COMMANDS["EditWatch"], {"watch_uid": uid_of("b"), "nickname": "Bertha"}),
            build(COMMANDS["EditWatch"], {"watch_uid": uid_of("b"), "nickname": "Bert"}),
            _wind(uid_of("b"), uid=uid_of("w")),
            _wind(anna, replaces=uid_of("w")),
        ],
        who,
    )
    assert done.applied == 5
    submit(store, [Undo()], who)
    assert as_read(store) == before


def test_what_was_done_after_an_undo_is_undone_first(store: Store, who: Who, anna: str, as_read: AsRead) -> None:
    before = as_read(store)
    submit(store, [_wind(anna)], who)
    submit(store, [Undo()], who)
    submit(store, [_wind(anna)], who)
    submit(store, [Undo()], who)
    assert as_read(store) == before
    assert register.watch(store.reading(), anna) is not None


def test_undoing_a_correction_brings_the_first_entry_back(store: Store, who: Who, anna: str, as_read: AsRead) -> None:
    submit(store, [_wind(anna, uid=uid_of("first"))], who)
    before = as_read(store)
    submit(store, [_wind(anna, amount="part", replaces=uid_of("first"))], who)
    assert [row["amount"] for row in as_read(store)["winding"]] == ["part"]
    submit(store, [Undo()], who)
    assert as_read(store) == before


def test_an_entry_taken_out_since_stays_out_whatever_is_undone(store: Store, who: Who, anna: str) -> None:
    wind = submit(store, [_wind(anna)], who).batch
    void = submit(store, [build(COMMANDS["VoidEntry"], {"entry_uid": wind})], who).batch
    assert _refusal(Conflict, store, who, wind) == CHANGED_SINCE
    submit(store, [Undo(batch=void)], who)
    submit(store, [Undo(batch=wind)], who)
    assert _refusal(NotFound, store, who, void) == "There is nothing to undo."


def test_an_edit_edited_again_is_not_undone_alone(store: Store, who: Who, anna: str, give: Give) -> None:
    first = give("EditWatch", watch_uid=anna, nickname="Anne")
    second = give("EditWatch", watch_uid=anna, nickname="Annie")
    assert _refusal(Conflict, store, who, first) == CHANGED_SINCE
    submit(store, [Undo(batch=second)], who)
    submit(store, [Undo(batch=first)], who)
    watch = register.watch(store.reading(), anna)
    assert watch is not None
    assert watch.nickname == "Anna"


def test_a_value_that_came_back_does_not_hide_a_change_since(store: Store, who: Who, anna: str, give: Give) -> None:
    first = give("EditWatch", watch_uid=anna, nickname="Anne")
    give("EditWatch", watch_uid=anna, nickname="Anna")
    give("EditWatch", watch_uid=anna, nickname="Anne")
    assert _refusal(Conflict, store, who, first) == CHANGED_SINCE
    for _ in range(4):
        submit(store, [Undo()], who)
    assert _refusal(NotFound, store, who) == "There is nothing to undo."


def test_a_registration_edited_since_is_not_undone_alone(store: Store, who: Who, anna: str, give: Give) -> None:
    give("EditWatch", watch_uid=anna, nickname="Anne")
    assert _refusal(Conflict, store, who, anna) == CHANGED_SINCE


def test_a_watch_with_a_log_is_not_undone_from_under_it(store: Store, who: Who, anna: str, give: Give) -> None:
    wind = give("LogWind", watch_uid=anna, **AT)
    assert _refusal(Conflict, store, who, anna) == (
        "This can't be undone: Anna has entries in its log. Take them out first."
    )
    give("VoidEntry", entry_uid=wind)
    submit(store, [Undo(batch=anna)], who)
    assert register.watch(store.reading(), anna) is None


def test_a_nickname_taken_meanwhile_is_not_given_back(store: Store, who: Who, anna: str, give: Give) -> None:
    edit = give("EditWatch", watch_uid=anna, nickname="Berta")
    give("RegisterWatch", nickname="ANNA")
    assert _refusal(Conflict, store, who, edit) == "This can't be undone: another watch is called “ANNA” now."


def test_an_edit_that_saw_what_was_undone_is_stale(store: Store, who: Who, anna: str, give: Give) -> None:
    give("EditWatch", watch_uid=anna, version=1, nickname="Anne")
    submit(store, [Undo()], who)
    with pytest.raises(Conflict):
        give("EditWatch", watch_uid=anna, version=2, nickname="Annabel")


def test_another_persons_changes_are_left_alone_unless_an_owner_names_them(
    store: Store, who: Who, helper: Who, anna: str, as_read: AsRead
) -> None:
    theirs = submit(store, [_wind(anna)], helper).batch
    before = as_read(store)
    mine = submit(store, [_wind(anna)], who).batch
    assert _refusal(NotFound, store, helper, mine) == "There is nothing to undo."
    submit(store, [Undo()], who)
    assert as_read(store) == before
    submit(store, [Undo(batch=theirs)], who)
    assert (len(before["winding"]), as_read(store)["winding"]) == (1, [])


def test_a_batch_is_undone_once(store: Store, who: Who, anna: str) -> None:
    wind = submit(store, [_wind(anna)], who).batch
    submit(store, [Undo(batch=wind)], who)
    assert _refusal(NotFound, store, who, wind) == "There is nothing to undo."
    assert _refusal(NotFound, store, who, uid_of("never given")) == "There is nothing to undo."


def test_the_examples_past_is_not_undone_unasked(store: Store, who: Who) -> None:
    example = Who(person_uid=who.person_uid, origin="example", now=who.now, zone=who.zone)
    submit(store, [build(COMMANDS["RegisterWatch"], {"nickname": "Anna"})], example)
    assert _refusal(NotFound, store, who) == "There is nothing to undo."


def test_a_command_that_was_undone_is_not_done_again_by_repeating_it(store: Store, who: Who, anna: str) -> None:
    wind = _wind(anna)
    submit(store, [wind], who)
    submit(store, [Undo()], who)
    with pytest.raises(Conflict, match="noted before and taken back since"):
        submit(store, [wind], who)
