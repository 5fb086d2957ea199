"""Services on the command line: the same sentences as the page."""

import json
from pathlib import Path

import pytest

from tests.cli.conftest import NOW, Going
from tests.dials import PDF
from tests.web.declines import FALLING, declined
from tracker.collection import open_collection
from tracker.store import services
from tracker.store.attachments import by_entry


@pytest.fixture
def falling(going: Going, folder: Path) -> Going:
    store = open_collection(folder, NOW)
    declined(store, "Workshop spare", FALLING)
    store.close()
    return going


def test_the_first_line_the_reasons_and_the_table_are_told(falling: Going) -> None:
    falling("add", "Night ferry")
    code, said, complaint = falling("services")
    assert (code, complaint) == (0, "")
    lines = said.splitlines()
    assert lines[0].startswith("Workshop spare has lost about 1")
    assert "Workshop spare: keep an eye on it" in lines
    assert "From 36 stops, since its service in Jun 2024, 2.5 years ago." in said
    assert "let the power down before opening" in said
    assert lines[-1].split("  ")[0] == "Night ferry"
    assert "not enough evidence yet" in lines[-1]


def test_the_bench_has_its_own_words(falling: Going) -> None:
    assert "Ask a watchmaker" in falling("services")[1]
    assert "Turns left at the stop." in falling("services", "--bench")[1]


def test_json_has_the_figures(falling: Going) -> None:
    (told,) = json.loads(falling("services", "--json")[1])
    assert (told["watch"], told["step"], told["found"]) == ("Workshop spare", "keep an eye", "keep an eye")
    assert told["lost"]["low"] < told["lost"]["mid"] < told["lost"]["high"]
    assert told["probability"]["once"] > 0.9
    assert told["evidence"] == {"enough": True, "stops": 36, "at_most": 0, "at_least": 0, "low_amplitude_deg": None}
    assert told["threshold_reached"]["low"] < told["threshold_reached"]["mid"] < "2026-11-25"
    assert told["patterns"] == ["Gradual"]
    assert (told["quiet_until"], told["least_reached"], told["due_at"]) == (None, None, None)


def test_an_empty_collection_says_so(going: Going) -> None:
    assert going("services")[1] == "No watch yet, so none to open.\n"


def test_known_is_silent_for_three_months_or_as_long_as_asked_and_can_be_taken_back(falling: Going) -> None:
    code, said, _ = falling("known", "Workshop")
    assert (code, said) == (0, "Workshop spare: known; it asks again 2027-02-25. To take it back: going undo\n")
    assert falling("services")[1].startswith("Nothing new: Workshop spare is known to you")
    assert "Taken back: a cue put off (Workshop spare)" in falling("undo")[1]
    assert "asks again Fri 2026-12-25" in falling("known", "Workshop", "--months", "1")[1]


@pytest.mark.parametrize(
    ("words", "complaint"),
    [
        (["known", "Night"], "going: Night ferry has no cue, or no longer.\n"),
        (
            ["known", "Workshop", "--months", "some"],
            "going: --months: “some” is not a whole number. Give a whole number.\n",
        ),
        (["known", "Workshop", "--months", "0"], "going: --months: 0 is too small. Give 1 or more.\n"),
    ],
)
def test_what_can_not_be_known_is_told(falling: Going, words: list[str], complaint: str) -> None:
    falling("add", "Night ferry")
    code, _, said = falling(*words)
    assert code != 0
    assert said == complaint


def test_a_service_noted_begins_anew_and_can_be_taken_back(falling: Going) -> None:
    code, said, complaint = falling(
        "serviced", "Workshop", "--at", "2026-11-24", "--done", "cleaned", "--by", "a bench"
    )
    assert (code, complaint) == (0, "")
    assert said.startswith("Workshop spare: back from service ")
    (told,) = json.loads(falling("services", "--json")[1])
    assert (told["serviced"], told["evidence"]["stops"], told["step"]) == (True, 0, None)
    assert falling("undo")[1].startswith("Taken back: a service (Workshop spare)")


def test_a_service_is_noted_with_its_parts_and_a_file(three: Going, folder: Path) -> None:
    words = (
        "--occasion",
        "ran short",
        "--part",
        "mainspring: 1,3 x 0,115 x 350 > 1.3 × 0.11 × 360",
        "--part",
        "gasket",
    )
    assert three("serviced", "Night", *words, "--lubricants", "thin oil")[0] == 0
    bill = folder / "bill.pdf"
    bill.write_bytes(PDF)
    assert three("attach", "Night", str(bill), "--to-service")[1].startswith("Night ferry: bill attached.")
    store = open_collection(folder, NOW)
    (row,) = services.services(store.reading())
    assert (row["occasion"], row["lubricants"], len(row["parts"])) == ("ran short", "thin oil", 2)
    assert [each["title"] for each in by_entry(store.reading(), row["watch_uid"])[row["uid"]]] == ["bill"]
    store.close()
    assert "a file attached" in three("undo")[1]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("serviced", "Night", "--part", "spring: 1.3 × 0.1"), "--part: Part 1: “1.3 × 0.1” is not a spring."),
        (("attach", "Night", "/dev/null"), "FILE: This file is neither a picture nor a PDF by what it holds."),
        (("attach", "Night", "/dev/null", "--to-service"), "Of Night ferry no service is noted."),
    ],
)
def test_what_cannot_be_kept_with_a_service_is_told(three: Going, words: tuple[str, ...], said: str) -> None:
    assert said in three(*words)[2]
