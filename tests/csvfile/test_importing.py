import pytest

from tracker.commands.base import Who
from tracker.commands.door import submit
from tracker.commands.log import VoidEntry
from tracker.commands.register import ArchiveWatch, BringBackWatch, EditWatch
from tracker.commands.settings import ChangeSettings
from tracker.commands.undo import Undo
from tracker.csvfile.columns import Kind
from tracker.csvfile.importing import import_csv, try_csv
from tracker.csvfile.writing import write_csv
from tracker.errors import Rejected
from tracker.store import log, register
from tracker.store.store import Store

WATCHES = "nickname,indicator\nNight ferry,none\nWorkshop spare,fraction\n"
LOG = (
    "watch,entry,at,zone,found,hands,shown,seen,note\n"
    "Night ferry,wind,2026-11-20T07:30,Europe/Berlin,going,left,,,\n"
    "night FERRY,sighting,2026-11-21T19:00Z,,,,,going,\n"
    "Night ferry,wind,2026-11-22T07:30,,stopped,set now,4:37,,=found by the lamp\n"
)
UID = "01936f4e-5c00-7000-8000-00000000000a"


def take(store: Store, who: Who, text: str, kind: Kind = "log") -> tuple[int, int]:
    findings = import_csv(store, text.encode(), kind, who)
    return len(findings.new), findings.known


def problems(store: Store, who: Who, text: str, kind: Kind = "log") -> list[str]:
    with pytest.raises(Rejected) as caught:
        import_csv(store, text.encode(), kind, who)
    return [problem.sentence for problem in caught.value.problems]


@pytest.fixture
def filled(store: Store, who: Who) -> Store:
    take(store, who, WATCHES, "watches")
    return store


def test_a_file_of_watches_and_one_of_their_log_are_taken_in(filled: Store, who: Who) -> None:
    assert take(filled, who, LOG) == (3, 0)
    watch = register.watch_named(filled.reading(), "Night ferry")
    assert watch is not None
    rows = log.entry_rows(filled.reading(), watch.uid)
    assert [(row["table"], row["at_utc"]) for row in rows] == [
        ("winding", "2026-11-22T07:30:00Z"),
        ("sighting", "2026-11-21T19:00:00Z"),
        ("winding", "2026-11-20T06:30:00Z"),
    ]
    assert (rows[0]["shown"], rows[0]["note"], rows[0]["origin"]) == ("4:37", "=found by the lamp", "page")


def test_the_same_file_twice_changes_nothing(filled: Store, who: Who) -> None:
    take(filled, who, LOG)
    before = write_csv(filled.reading(), "log")
    assert take(filled, who, LOG) == (0, 3)
    assert take(filled, who, WATCHES, "watches") == (0, 2)
    assert write_csv(filled.reading(), "log") == before


def test_a_row_told_before_a_column_was_there_is_known(filled: Store, who: Who) -> None:
    take(filled, who, "watch,entry,at,uid\nNight ferry,wind,2026-11-01T07:00Z,01936f4e-5c00-7000-8000-00000000000a\n")
    with filled.change() as db:
        db.execute("UPDATE command_log SET payload = json_remove(payload, '$.side_spring_used')")
    exported = write_csv(filled.reading(), "log")
    assert "side_spring_used" in exported
    assert take(filled, who, exported)[0] == 0


def test_equal_rows_without_uid_are_as_many_entries_each_time(filled: Store, who: Who) -> None:
    line = "Night ferry,sighting,2026-11-21T19:00Z,,,,,going,\n"
    assert take(filled, who, LOG + line) == (4, 0)
    assert take(filled, who, LOG + line) == (0, 4)


def test_a_file_known_before_is_known_after_the_owner_moved_to_another_zone(filled: Store, who: Who) -> None:
    text = "watch,entry,at,seen\nNight ferry,sighting,2026-11-21T19:00,going\n"
    take(filled, who, text)
    submit(filled, [ChangeSettings(zone="America/New_York")], who)
    moved = Who(person_uid=who.person_uid, origin="file", now=who.now, zone="America/New_York")
    assert take(filled, moved, text) == (0, 1)


def test_an_import_is_undone_as_a_whole_and_can_be_given_again(filled: Store, who: Who) -> None:
    take(filled, who, LOG)
    submit(filled, [Undo()], who)
    assert log.all_entry_rows(filled.reading()) == []
    assert take(filled, who, LOG) == (3, 0)
    assert take(filled, who, LOG) == (0, 3)


def test_an_entry_taken_out_since_stays_out(filled: Store, who: Who) -> None:
    take(filled, who, LOG)
    submit(filled, [VoidEntry(entry_uid=log.all_entry_rows(filled.reading())[0]["uid"])], who)
    assert take(filled, who, LOG) == (0, 3)
    assert len(log.all_entry_rows(filled.reading())) == 2


def test_a_correction_takes_out_what_it_replaces(filled: Store, who: Who) -> None:
    take(filled, who, f"uid,watch,entry,at,seen\n{UID},Night ferry,sighting,2026-11-21T19:00Z,going\n")
    text = f"watch,entry,at,seen,replaces\nNight ferry,sighting,2026-11-21T18:00Z,stopped,{UID}\n"
    assert take(filled, who, text) == (1, 0)
    assert [row["seen"] for row in log.all_entry_rows(filled.reading())] == ["stopped"]
    assert take(filled, who, text) == (0, 1)


def test_a_correction_of_an_entry_that_is_not_there_stands_alone(filled: Store, who: Who) -> None:
    text = f"watch,entry,at,seen,replaces\nNight ferry,sighting,2026-11-21T18:00Z,stopped,{UID}\n"
    assert take(filled, who, text) == (1, 0)


def test_a_date_alone_is_a_day_wide(filled: Store, who: Who) -> None:
    take(filled, who, "watch,entry,at,zone\nNight ferry,service,2024-05-03,Europe/Berlin\n")
    (row,) = log.all_entry_rows(filled.reading())
    assert (row["at_utc"], row["within_min"]) == ("2024-05-03T10:00:00Z", 720)


BAD_LOG = (
    "uid,watch,entry,at,zone,within_min,found,shown,seen,indicator_reading,act\n"
    ",Nightferry,wind,2026-11-20T07:30Z,,,,,,,\n"  # 2
    ",Night ferry,winding,2026-11-20T07:30Z,,,,,,,\n"
    ",Night ferry,wind,20.11.2026 07:30,,,,,,,\n"
    ",Night ferry,wind,2026-03-29T02:30,Europe/Berlin,,,,,,\n"  # 5
    ",Night ferry,wind,2026-10-25T02:30,Europe/Berlin,,,,,,\n"
    ",Night ferry,wind,2026-11-20T07:30,Europe/Nowhere,,,,,,\n"
    ",Night ferry,wind,2026-11-20T07:30Z,,a while,seldom,,,,\n"
    ",Night ferry,wind,2026-11-20T07:30Z,,,,,going,,\n"
    ",Night ferry,wind,2026-11-26T07:30Z,,,,,,,\n"  # 10
    ",Night ferry,sighting,2026-11-20T07:30Z,,,,,,0.5,\n"
    ",Workshop spare,sighting,2026-11-20T07:30Z,,,,,,4,\n"
    ",Night ferry,wind,2026-11-20T07:30Z,,,going,4:37,,,\n"
    ",Night ferry,wear,2026-11-20T07:30Z,,,,,,,\n"
    "x,Night ferry,wind,2026-11-20T07:30Z,,,,,,,\n"  # 15
    ",,,,,,,,,,put on\n"
    ",Night ferry,wind,2026-11-20T07:30Z,,,,,,,\n"  # this one is right
)
BAD_LOG_SENTENCES = [
    "Line 2, column “watch”: There is no watch called “Nightferry”. Register it, or import the file of watches first.",
    "Line 3, column “entry”: “winding” is not one of the choices. Choose wind, sighting, wear, winder, service, reading or sign.",
    "Line 4, column “at”: “20.11.2026 07:30” is not a time. Give it as 2026-11-25T07:30.",
    (
        "Line 5, column “at”: The clocks of Europe/Berlin skipped 2026-03-29 02:30. "
        "Give a time before or after the change."
    ),
    (
        "Line 6, column “at”: The clocks of Europe/Berlin showed 2026-10-25 02:30 twice. "
        "Give it as 2026-10-25T02:30+02:00 or 2026-10-25T02:30+01:00."
    ),
    "Line 7, column “zone”: There is no time zone “Europe/Nowhere”. Give a name such as Europe/Lisbon.",
    "Line 8, column “within_min”: “a while” is not a number. Give a number.",
    "Line 8, column “found”: “seldom” is not one of the choices. Choose going, stopped or not noticed.",
    "Line 9, column “seen”: This says nothing of a wind. Leave it empty.",
    "Line 10, column “at”: This time lies in the future. An entry tells what has happened already.",
    "Line 11, column “seen”: This is needed.",
    "Line 12, column “seen”: This is needed.",
    (
        "Line 13, column “shown”: What the hands showed counts only for a watch that had stopped. "
        "Leave it out, or choose “stopped”."
    ),
    "Line 14, column “act”: This is needed.",
    "Line 15, column “uid”: “x” is not a uid. A uid looks like 01936f4e-5c00-7000-8000-000000000000.",
    "Line 16, column “entry”: This is needed.",
]


def test_each_bad_row_is_told_by_line_and_column_and_nothing_is_taken(filled: Store, who: Who) -> None:
    assert problems(filled, who, BAD_LOG) == BAD_LOG_SENTENCES
    assert log.all_entry_rows(filled.reading()) == []


def test_a_dry_run_tells_the_same_and_what_would_be_accepted_and_keeps_nothing(filled: Store, who: Who) -> None:
    findings = try_csv(filled, BAD_LOG.encode(), "log", who)
    assert [problem.sentence for problem in findings.problems] == BAD_LOG_SENTENCES
    assert list(findings.new) == [17]
    assert log.all_entry_rows(filled.reading()) == []


def test_what_the_register_has_against_an_entry_is_told_by_line(filled: Store, who: Who) -> None:
    text = (
        "watch,entry,at,seen,indicator_reading,shown\n"
        "Night ferry,sighting,2026-11-20T07:30Z,going,0.5,\n"
        "Workshop spare,sighting,2026-11-20T07:30Z,going,4,\n"
        "Night ferry,sighting,2026-11-20T07:30Z,stopped,,17:20\n"
    )
    assert problems(filled, who, text) == [
        (
            "Line 2, column “indicator_reading”: Night ferry has no reserve indicator in the register. "
            "Edit the watch first if it has one."
        ),
        "Line 3, column “indicator_reading”: This indicator shows a fraction. Give a number from 0 to 1.",
        (
            "Line 4, column “shown”: A dial of 12 hours can't show 17:20. "
            "Give the time on the hands as it stands there, such as 4:37 or 437."
        ),
    ]


def test_a_uid_may_stand_in_a_file_once(filled: Store, who: Who) -> None:
    line = f"{UID},Night ferry,sighting,2026-11-21T19:00Z,going\n"
    assert problems(filled, who, "uid,watch,entry,at,seen\n" + line + line) == [
        "Line 3, column “uid”: This uid is in line 2 already."
    ]


def test_an_entry_whose_uid_is_there_must_say_the_same(filled: Store, who: Who) -> None:
    text = f"uid,watch,entry,at,seen\n{UID},Night ferry,sighting,2026-11-21T19:00Z,going\n"
    take(filled, who, text)
    assert take(filled, who, text) == (0, 1)
    assert problems(filled, who, text.replace("going", "stopped")) == [
        (
            "Line 2, column “uid”: An entry of this uid is in the collection already, and says something else. "
            "Correct it on the page of its watch, or take this row out."
        )
    ]


def test_a_nickname_of_another_watch_is_told(filled: Store, who: Who) -> None:
    text = f"uid,nickname\n{UID},night ferry\n01936f4e-5c00-7000-8000-00000000000b,Tray 3\n"
    assert problems(filled, who, text, "watches") == [
        (
            "Line 2, column “nickname”: There is already a watch called “night ferry” (in the collection). "
            "Choose another nickname."
        )
    ]
    assert len(register.watches(filled.reading())) == 2


def test_bad_fields_of_a_watch_are_told_by_line_and_column(store: Store, who: Who) -> None:
    text = (
        "nickname,stated_reserve_h,habit,archived\n"
        "Night ferry,long,keep going,\n"
        ",40,whenever,\n"
        "Tray 3,,on weekdays,\n"
        "Tray 4,,,perhaps\n"
    )
    found = problems(store, who, text, "watches")
    assert found[:2] == [
        "Line 2, column “stated_reserve_h”: “long” is not a number. Give a number.",
        "Line 3, column “nickname”: This is needed.",
    ]
    assert [sentence.partition(":")[0] for sentence in found[2:]] == [
        "Line 3, column “habit”",
        "Line 4, column “habit_weekdays”",
        "Line 5, column “archived”",
    ]


def test_a_watch_described_differently_is_edited_on_its_page(store: Store, who: Who) -> None:
    text = f"uid,nickname,calibre\n{UID},Night ferry,K-12\n"
    take(store, who, text, "watches")
    assert problems(store, who, text.replace("K-12", "K-13"), "watches") == [
        (
            "Line 2, column “uid”: Night ferry is in the collection already, and described differently. "
            "Edit it on its page, or take this row out."
        )
    ]


def test_the_first_file_and_todays_export_are_both_known_after_an_edit(store: Store, who: Who) -> None:
    text = f"uid,nickname,calibre\n{UID},Night ferry,K-12\n"
    take(store, who, text, "watches")
    submit(store, [EditWatch(watch_uid=UID, nickname="Night ferry", calibre="K-13"), ArchiveWatch(watch_uid=UID)], who)
    assert take(store, who, text, "watches") == (0, 1)
    assert take(store, who, write_csv(store.reading(), "watches"), "watches") == (0, 1)


def test_a_watch_put_away_in_the_file_arrives_put_away_once(store: Store, who: Who) -> None:
    text = "nickname,archived\nNight ferry,yes\nTray 3,no\n"
    assert take(store, who, text, "watches") == (2, 0)
    assert [watch.nickname for watch in register.watches(store.reading(), archived=True)] == ["Night ferry"]
    uid = register.watches(store.reading(), archived=True)[0].uid
    submit(store, [BringBackWatch(watch_uid=uid)], who)
    assert take(store, who, text, "watches") == (0, 2)
    assert [watch.nickname for watch in register.watches(store.reading())] == ["Night ferry", "Tray 3"]


def test_progress_is_told_now_and_then(filled: Store, who: Who) -> None:
    told: list[tuple[int, int]] = []
    lines = "".join(f"Night ferry,sighting,2025-01-01T00:00:{n % 60:02}Z,going\n" for n in range(1200))
    text = "watch,entry,at,seen\n" + lines
    try_csv(filled, text.encode(), "log", who, progress=lambda done, total: told.append((done, total)))
    assert told == [(500, 1200), (1000, 1200), (1200, 1200)]
