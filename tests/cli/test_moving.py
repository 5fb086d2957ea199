"""Moving a watch to another round on the command line."""

import json

import pytest

from tests.cli.conftest import Going


@pytest.fixture
def used(going: Going) -> Going:
    going("add", "Night ferry", "--reserve", "42", "--habit", "keep-going")
    going("wound", "Night", "--at", "2026-11-25T06:30Z")
    return going


def first(going: Going) -> str:
    return str(json.loads(going("round", "--json")[1])["plan"][0]["at"])


def test_a_watch_is_moved_and_left_to_the_plan_again(used: Going) -> None:
    assert first(used) == "2026-11-26T06:30:00Z"
    code, said, _ = used("round", "--move", "Night", "--to", "2026-11-27T07:30")
    assert code == 0
    assert said.startswith("Night ferry is now planned for Fri 07:30, ")
    assert "To take it back: going undo" in said
    assert first(used) == "2026-11-27T06:30:00Z"
    found = json.loads(used("round", "--json")[1])
    assert found["chosen"] == [{"watch": "Night ferry", "at": "2026-11-27T06:30:00Z"}]
    assert "late, your choice)" in used("round")[1]
    assert used("round", "--move", "Night", "--to", "plan")[1].startswith("The plan decides again when Night ferry")
    assert first(used) == "2026-11-26T06:30:00Z"


def test_undo_takes_it_back_too(used: Going) -> None:
    used("round", "--move", "Night", "--to", "2026-11-27T07:30")
    assert used("undo")[1] == "Taken back: a round chosen (Night ferry), given today 08:25.\n"
    assert first(used) == "2026-11-26T06:30:00Z"


@pytest.mark.parametrize(
    ("words", "complaint"),
    [
        (["--move", "Night"], "Write both: --move WATCH --to 2026-11-27T07:30, or --to plan."),
        (["--to", "plan"], "Write both"),
        (["--move", "Night", "--to", "plan"], "No round is chosen for this watch; the plan decides."),
        (["--move", "Night", "--to", "2026-11-27T07:31"], "The next are 2026-11-26T07:30, 2026-11-27T07:30"),
        (["--move", "Night", "--to", "soon"], "“soon” is not a time."),
        (["--move", "Nobody", "--to", "plan"], "No nickname begins with “Nobody”."),
    ],
)
def test_what_can_not_be_done_is_said(used: Going, words: list[str], complaint: str) -> None:
    code, said, complained = used("round", *words)
    assert (code != 0, said) == (True, "")
    assert complaint in complained
