from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import NOW, Going
from tracker.collection import open_collection
from tracker.store import log


def entries(folder: Path) -> list[dict[str, Any]]:
    store = open_collection(folder, NOW)
    rows = log.all_entry_rows(store.reading())
    store.close()
    return rows


def only(folder: Path) -> dict[str, Any]:
    (row,) = entries(folder)
    return row


@pytest.mark.parametrize(
    ("options", "expected"),
    [
        ([], ("not noticed", "unknown", None)),
        (["--was-going"], ("going", "left", None)),
        (["--was-going", "--set"], ("going", "set now", None)),
        (["--had-stopped"], ("stopped", "unknown", None)),
        (["--had-stopped", "--set"], ("stopped", "set now", None)),
        (["--had-stopped", "--not-set", "--showing", "437"], ("stopped", "not set", "4:37")),
        (["--set"], ("not noticed", "set now", None)),
    ],
)
def test_a_winding_carries_the_state_and_the_hands(
    three: Going, folder: Path, options: list[str], expected: tuple[str, str, str | None]
) -> None:
    assert three("wound", "Night ferry", *options)[0] == 0
    row = only(folder)
    assert (row["found"], row["hands"], row["shown"]) == expected
    assert (row["at_utc"], row["zone"], row["within_min"]) == ("2026-11-25T07:25:00Z", "Europe/Berlin", 2)
    assert (row["table"], row["amount"], row["origin"]) == ("winding", "full", "command line")


@pytest.mark.parametrize(
    ("options", "amount", "turns"),
    [(["--part", "--turns", "12"], "part", 12), (["--unsure"], "unsure", None), (["--turns", "20,5"], "full", 20.5)],
)
def test_a_part_wind_is_told_by_its_turns(
    three: Going, folder: Path, options: list[str], amount: str, turns: float | None
) -> None:
    three("wound", "Night", *options)
    assert (only(folder)["amount"], only(folder)["crown_turns"]) == (amount, turns)


@pytest.mark.parametrize(
    ("at", "at_utc", "within_min"),
    [
        ("07:30", "2026-11-25T06:30:00Z", 10),
        ("23:15", "2026-11-24T22:15:00Z", 10),
        ("this morning", "2026-11-25T07:00:00Z", 180),
        ("Last night", "2026-11-24T22:00:00Z", 180),
        ("now", "2026-11-25T07:25:00Z", 2),
        ("2026-11-20T07:30", "2026-11-20T06:30:00Z", 10),
        ("2026-11-20", "2026-11-20T11:00:00Z", 720),
    ],
)
def test_at_says_when_and_how_sure(three: Going, folder: Path, at: str, at_utc: str, within_min: float) -> None:
    three("wound", "Night", "--at", at)
    assert (only(folder)["at_utc"], only(folder)["within_min"]) == (at_utc, within_min)


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (["wound", "night"], "Night ferry: wound just now."),
        (["wound", "Night", "--was-going", "--at", "07:30"], "Night ferry: wound today 07:30, found going."),
        (
            ["wound", "Workshop s", "Night", "--had-stopped", "--showing", "437", "--set", "--at", "last night"],
            "Workshop spare, Night ferry: wound last night, found stopped, hands at 4:37, hands set.",
        ),
        (["wound", "Night", "--part", "--at", "23:15"], "Night ferry: wound in part yesterday 23:15."),
        (["seen", "Night"], "Night ferry: seen going just now."),
        (["stopped", "Night", "--showing", "4:37"], "Night ferry: found stopped just now, hands at 4:37."),
        (["stopped", "Night", "--on-purpose"], "Night ferry: stopped on purpose just now."),
        (["worn", "Night"], "Night ferry: put on just now."),
        (["worn", "Night", "--down", "--at", "07:00"], "Night ferry: laid down today 07:00."),
    ],
)
def test_one_line_says_what_was_noted_and_how_to_take_it_back(three: Going, call: list[str], said: str) -> None:
    assert three(*call) == (0, f"{said} To take it back: going undo\n", "")


def test_a_clock_time_shown_twice_is_taken_late_and_said_so(
    three: Going, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tracker.clock.now", lambda: NOW.replace(month=10, day=25))
    said = three("wound", "Night", "--at", "02:30")[1]
    assert said.startswith("Night ferry: wound today 02:30 (the clocks showed it twice: the later).")
    assert only(folder)["at_utc"] == "2026-10-25T01:30:00Z"


def test_a_reading_of_the_indicator_goes_with_a_sighting(going: Going, folder: Path) -> None:
    going("add", "Tray", "--indicator", "hours")
    assert going("seen", "Tray", "--reading", "22,5")[1].startswith("Tray: seen going just now, indicator at 22.5.")
    assert only(folder)["indicator_reading"] == 22.5


@pytest.mark.parametrize("call", [["wound"], ["seen"], ["stopped"]])
def test_a_chronograph_that_ran_goes_with_what_was_seen(three: Going, folder: Path, call: list[str]) -> None:
    _, out, _ = three(*call, "Night", "--side-spring")
    assert only(folder)["side_spring_used"] == 1
    assert "the chronograph ran or the alarm rang" in out


def test_putting_one_on_says_what_it_laid_down(three: Going, folder: Path) -> None:
    three("worn", "Night")
    _, out, _ = three("worn", "Workshop spare")
    assert "Laid down for it: Night ferry. To take it back: going undo" in out
    assert [row["act"] for row in entries(folder)].count("laid down") == 1


def test_a_watch_with_a_rotor_goes_on_the_winder_and_comes_off(going: Going, folder: Path) -> None:
    going("add", "Tide table", "--wound-by", "rotor-only")
    said = going("winder", "Tide", "--turns-a-day", "650,5", "--at", "07:00")
    assert said == (
        0,
        "Tide table: put on the winder today 07:00, 650.5 turns a day. To take it back: going undo\n",
        "",
    )
    assert going("winder", "Tide", "--off")[1].startswith("Tide table: taken off the winder just now.")
    assert [(row["act"], row["turns_a_day"]) for row in entries(folder)] == [("on", 650.5), ("off", None)]


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (
            ["Night"],
            "Night ferry has no rotor in the register: a winder can't wind it. Edit the watch first if it has one.",
        ),
        (
            ["Night", "--off", "--turns-a-day", "650"],
            "--turns-a-day: Turns a day go with a watch that is put on a winder. Leave them out, or say that it was put on.",
        ),
    ],
)
def test_what_can_not_be_noted_of_a_winder_says_why(three: Going, folder: Path, call: list[str], said: str) -> None:
    assert three("winder", *call) == (2, "", f"going: {said}\n")
    assert entries(folder) == []


def test_several_watches_in_one_call_are_one_change(three: Going, folder: Path) -> None:
    three("wound", "Night", "Workshop s", "Workshop c", "--was-going")
    assert len(entries(folder)) == 3
    three("undo")
    assert entries(folder) == []


def test_the_same_watch_named_twice_is_wound_once(three: Going, folder: Path) -> None:
    three("wound", "Night", "night FERRY")
    assert len(entries(folder)) == 1


@pytest.mark.parametrize(
    "call", [["wound", "Night", "Nobody's"], ["wound", "Workshop"], ["wound", "Night", "--showing", "4:37"]]
)
def test_a_call_that_can_not_be_taken_notes_nothing(three: Going, folder: Path, call: list[str]) -> None:
    assert three(*call)[0] != 0
    assert entries(folder) == []
