"""Putting a watch on lays down the one its wearer wore before."""

from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from tracker.collection import open_collection, owner
from tracker.commands.base import Who
from tracker.commands.build import build
from tracker.commands.door import COMMANDS, submit
from tracker.commands.log import LogWear
from tracker.commands.undo import Undo
from tracker.csvfile.importing import import_csv
from tracker.csvfile.writing import write_csv
from tracker.store import log
from tracker.store.store import Store
from tracker.uids import uid_of

Give = Callable[..., str]
NAMES = ("anna", "berta", "clara")


@pytest.fixture
def wear(give: Give) -> Give:
    """`wear("anna", "20 08:00")`: put on that day in November, in UTC."""
    for name in NAMES:
        give("RegisterWatch", uid=uid_of(name), nickname=name, wound_by="crown and rotor")

    def one(name: str, when: str, act: str = "put on", **more: Any) -> str:
        return give(
            "LogWear", watch_uid=uid_of(name), at=f"2026-11-{when.replace(' ', 'T')}Z", zone="UTC", act=act, **more
        )

    return one


def noted(store: Store) -> list[str]:
    """The wear of all watches, oldest first, such as `20 08:00 anna put on`."""
    rows = [row for row in log.all_entry_rows(store.reading()) if row["table"] == "wear"]
    told = [f"{row['at_utc'][8:10]} {row['at_utc'][11:16]} {row['nickname']} {row['act']}" for row in rows]
    return sorted(told)


def test_what_was_worn_before_is_laid_down_at_the_same_moment(store: Store, wear: Give) -> None:
    wear("anna", "20 08:00")
    wear("berta", "20 20:00", within_min=2)
    assert noted(store) == ["20 08:00 anna put on", "20 20:00 anna laid down", "20 20:00 berta put on"]
    (down, _) = log.entry_rows(store.reading(), uid_of("anna"))
    assert (down["within_min"], down["zone"]) == (12 * 60 + 2, "UTC")


def test_of_two_put_on_at_one_moment_the_one_noted_last_is_worn(store: Store, wear: Give) -> None:
    wear("berta", "20 08:00")
    wear("anna", "20 08:00")
    assert [row for row in noted(store) if "laid down" in row] == ["20 08:00 berta laid down"]


def test_the_same_watch_put_on_again_is_not_laid_down(store: Store, wear: Give) -> None:
    wear("anna", "20 08:00")
    wear("anna", "20 20:00")
    assert noted(store) == ["20 08:00 anna put on", "20 20:00 anna put on"]


@pytest.mark.parametrize(
    ("kind", "fields"),
    [
        ("LogWear", {"act": "laid down"}),
        ("LogSighting", {"seen": "stopped"}),
        ("LogSighting", {"seen": "stopped on purpose"}),
        ("LogWind", {"found": "stopped"}),
        ("LogWinder", {"act": "on"}),
        ("LogService", {}),
    ],
)
def test_a_watch_that_has_left_the_wrist_is_not_laid_down_again(
    store: Store, wear: Give, give: Give, kind: str, fields: dict[str, Any]
) -> None:
    wear("anna", "20 08:00")
    give(kind, watch_uid=uid_of("anna"), at="2026-11-20T22:00Z", zone="UTC", **fields)
    wear("berta", "21 08:00")
    assert "21 08:00 anna laid down" not in noted(store)


def test_to_be_taken_off_a_winder_says_nothing_of_the_wrist(store: Store, wear: Give, give: Give) -> None:
    wear("anna", "20 08:00")
    give("LogWinder", watch_uid=uid_of("anna"), at="2026-11-20T22:00Z", zone="UTC", act="off")
    wear("berta", "21 08:00")
    assert "21 08:00 anna laid down" in noted(store)


def test_a_winder_said_late_takes_back_the_laying_down_and_taken_out_brings_it_again(
    store: Store, wear: Give, give: Give
) -> None:
    wear("anna", "20 08:00")
    wear("berta", "21 08:00")
    on = give("LogWinder", watch_uid=uid_of("anna"), at="2026-11-20T22:00Z", zone="UTC", act="on")
    assert noted(store) == ["20 08:00 anna put on", "21 08:00 berta put on"]
    give("VoidEntry", entry_uid=on)
    assert noted(store) == ["20 08:00 anna put on", "21 08:00 anna laid down", "21 08:00 berta put on"]


def test_a_winder_said_late_is_undone_with_what_it_took_back(
    store: Store, who: Who, wear: Give, give: Give, as_read: Callable[[Store], Any]
) -> None:
    wear("anna", "20 08:00")
    wear("berta", "21 08:00")
    before = as_read(store)
    give("LogWinder", watch_uid=uid_of("anna"), at="2026-11-20T22:00Z", zone="UTC", act="on")
    submit(store, [Undo()], who)
    assert as_read(store) == before


@pytest.mark.parametrize(("day", "laid_down"), [("15 08:00", True), ("15 08:01", False)])
def test_after_a_fortnight_nobody_knows_when_it_was_laid_down(
    store: Store, wear: Give, day: str, *, laid_down: bool
) -> None:
    wear("anna", "01 08:00")
    wear("berta", day)
    assert (f"{day} anna laid down" in noted(store)) is laid_down


def test_each_person_wears_a_watch_of_their_own(store: Store, wear: Give, helper: Who) -> None:
    wear("anna", "20 08:00")
    wear("berta", "20 09:00", worn_by=helper.person_uid)
    wear("clara", "20 10:00", worn_by=helper.person_uid)
    assert [row for row in noted(store) if "laid down" in row] == ["20 10:00 berta laid down"]
    wear("anna", "20 11:00", worn_by=helper.person_uid)
    wear("berta", "20 12:00")
    assert "20 12:00 anna laid down" not in noted(store)


def test_given_twice_it_is_laid_down_once_and_undone_with_it(
    store: Store, who: Who, wear: Give, as_read: Callable[[Store], Any]
) -> None:
    wear("anna", "20 08:00")
    before = as_read(store)
    command = build(LogWear, {"watch_uid": uid_of("berta"), "at": "2026-11-20T20:00Z", "zone": "UTC", "act": "put on"})
    first, after = submit(store, [command], who), as_read(store)
    again = submit(store, [command], who)
    assert (first.applied, len(first.brought), again.repeated, again.brought) == (1, 1, 1, ())
    assert as_read(store) == after
    submit(store, [Undo()], who)
    assert as_read(store) == before
    wear("berta", "20 20:00")
    assert "20 20:00 anna laid down" in noted(store)


def test_told_late_it_lays_down_what_was_worn_then_and_not_what_was_put_on_since(
    store: Store, who: Who, wear: Give, as_read: Callable[[Store], Any]
) -> None:
    wear("anna", "20 08:00")
    wear("berta", "22 08:00")
    before = as_read(store)
    wear("clara", "21 08:00")
    assert noted(store) == [
        "20 08:00 anna put on",
        "21 08:00 anna laid down",
        "21 08:00 clara put on",
        "22 08:00 berta put on",
        "22 08:00 clara laid down",
    ]
    submit(store, [Undo()], who)
    assert as_read(store) == before


def test_a_putting_on_taken_out_takes_what_it_brought_with_it(store: Store, wear: Give, give: Give) -> None:
    wear("anna", "20 08:00")
    clara = wear("clara", "21 08:00")
    wear("berta", "22 08:00")
    give("VoidEntry", entry_uid=clara)
    assert noted(store) == ["20 08:00 anna put on", "22 08:00 anna laid down", "22 08:00 berta put on"]


def test_a_putting_on_corrected_lays_down_at_the_right_moment(store: Store, wear: Give) -> None:
    wear("anna", "20 08:00")
    berta = wear("berta", "21 08:00")
    berta = wear("berta", "21 10:00", replaces=berta)
    assert noted(store) == ["20 08:00 anna put on", "21 10:00 anna laid down", "21 10:00 berta put on"]
    wear("berta", "21 09:50", replaces=berta)
    assert noted(store) == ["20 08:00 anna put on", "21 09:50 anna laid down", "21 09:50 berta put on"]


@pytest.mark.parametrize("when", ["20 19:50", "20 20:00", "20 20:10", "20 12:00"])
def test_a_note_that_it_was_laid_down_stands_alone(store: Store, wear: Give, when: str) -> None:
    wear("anna", "20 08:00")
    wear("berta", "20 20:00")
    wear("anna", when, "laid down")
    assert [row for row in noted(store) if "laid down" in row] == [f"{when} anna laid down"]


def test_who_wore_both_takes_the_laying_down_out_and_it_stays_out(store: Store, wear: Give, give: Give) -> None:
    wear("anna", "20 08:00")
    wear("berta", "20 20:00")
    give("VoidEntry", entry_uid=uid_of_laid_down(store))
    wear("berta", "20 19:00", "laid down")
    assert [row for row in noted(store) if "laid down" in row] == ["20 19:00 berta laid down"]


def test_who_corrects_when_it_was_laid_down_is_believed(store: Store, wear: Give) -> None:
    wear("anna", "20 08:00")
    wear("berta", "20 20:00")
    wear("anna", "20 22:00", "laid down", replaces=uid_of_laid_down(store))
    wear("clara", "20 20:10")
    assert [row for row in noted(store) if "anna laid down" in row] == ["20 22:00 anna laid down"]


def uid_of_laid_down(store: Store) -> str:
    (row,) = [row for row in log.all_entry_rows(store.reading()) if row.get("act") == "laid down"]
    uid: str = row["uid"]
    return uid


HAND_MADE = [
    "anna,wear,2026-11-20T08:00Z,put on",
    "anna,wear,2026-11-20T20:00Z,laid down",
    "berta,wear,2026-11-20T20:00Z,put on",
    "clara,wear,2026-11-21T08:00Z,put on",
]


@pytest.mark.parametrize("order", [HAND_MADE, HAND_MADE[::-1], [HAND_MADE[index] for index in (2, 0, 3, 1)]])
@pytest.mark.usefixtures("wear")
def test_a_file_made_by_hand_brings_the_same_in_any_order(store: Store, who: Who, order: list[str]) -> None:
    text = "\n".join(["watch,entry,at,act", *order]) + "\n"
    import_csv(store, text.encode(), "log", who)
    told = ["20 08:00 anna put on", "20 20:00 anna laid down", "20 20:00 berta put on"]
    assert noted(store) == [*told, "21 08:00 berta laid down", "21 08:00 clara put on"]
    assert import_csv(store, text.encode(), "log", who).known == 4
    assert len(noted(store)) == 5


ON_WINDER = [
    "anna,wear,2026-11-20T08:00Z,put on",
    "anna,winder,2026-11-20T22:00Z,on",
    "berta,wear,2026-11-21T08:00Z,put on",
]


@pytest.mark.parametrize("order", [ON_WINDER, ON_WINDER[::-1], [ON_WINDER[index] for index in (2, 0, 1)]])
@pytest.mark.usefixtures("wear")
def test_in_any_order_a_winder_takes_a_watch_off_the_wrist(store: Store, who: Who, order: list[str]) -> None:
    text = "\n".join(["watch,entry,at,act", *order]) + "\n"
    import_csv(store, text.encode(), "log", who)
    assert noted(store) == ["20 08:00 anna put on", "21 08:00 berta put on"]


def test_a_collections_own_file_is_taken_as_it_stands(
    store: Store, who: Who, wear: Give, give: Give, tmp_path: Path
) -> None:
    wear("anna", "20 08:00")
    wear("berta", "20 20:00")
    wear("clara", "21 20:00")
    give("LogWinder", watch_uid=uid_of("clara"), at="2026-11-22T08:00Z", zone="UTC", act="on")
    give("VoidEntry", entry_uid=next(row["uid"] for row in log.entry_rows(store.reading(), uid_of("anna"))))
    exported = write_csv(store.reading(), "log")
    with closing(open_collection(tmp_path / "other", who.now)) as target:
        other = owner(target, "file", who.now)
        import_csv(target, write_csv(store.reading(), "watches").encode(), "watches", other)
        import_csv(target, exported.encode(), "log", other)
        assert write_csv(target.reading(), "log") == exported
    assert import_csv(store, exported.encode(), "log", who).known == 5


def test_what_is_brought_is_a_command_of_its_own(store: Store, wear: Give) -> None:
    wear("anna", "20 08:00")
    wear("berta", "20 20:00")
    (payload,) = (
        store.reading().execute("SELECT payload FROM command_log WHERE uid = ?", [uid_of_laid_down(store)]).fetchone()
    )
    assert COMMANDS["LogWear"].model_validate_json(payload).uid == uid_of_laid_down(store)
