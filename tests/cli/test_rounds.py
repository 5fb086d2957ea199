"""The plan on the command line."""

import json
import re

import pytest

from tests.cli.conftest import Going


@pytest.fixture
def used(going: Going) -> Going:
    going("add", "Night ferry", "--reserve", "42", "--habit", "keep-going")
    going("add", "Egg timer", "--reserve", "14", "--habit", "keep-going")
    going("add", "Drawer find", "--habit", "keep-going")
    going("wound", "Night", "--at", "2026-11-25T06:30Z")
    going("wound", "Egg", "--at", "2026-11-25T06:30Z")
    return going


def test_the_rounds_to_come_are_told_with_what_is_wound_in_each(used: Going) -> None:
    code, said, complaint = used("round", "--days", "4")
    assert (code, complaint) == (0, "")
    lines = said.splitlines()
    assert lines[0].split(maxsplit=1) == ["round", "wind, and how long before it must be"]
    assert re.fullmatch(r"tomorrow 07:30 +Night ferry \(\d+ h\)", lines[1])
    assert re.match(r"\d of 4 rounds, \d windings. The closest comes \d+ h before it must.", lines[-3])


def test_a_watch_that_these_rounds_cannot_keep_is_told_with_the_round_that_would(used: Going) -> None:
    assert "Egg timer can't be kept going by these rounds" in used("round")[1]


def test_a_watch_of_which_no_full_wind_is_known_is_to_be_looked_at(used: Going) -> None:
    assert "To look at, no full wind is known: Drawer find." in used("round")[1]


def test_json_is_the_answer_of_the_file_form_by_names(used: Going) -> None:
    found = json.loads(used("round", "--json")[1])
    assert found["cannot"] == ["Egg timer"]
    assert found["to_look_at"] == ["Drawer find"]
    assert found["rounds"] == len(found["plan"])
    assert {name for each in found["plan"] for name in each["wind"]} == {"Night ferry"}


def test_nothing_to_wind_is_said_too(going: Going) -> None:
    assert going("round", "--days", "3")[1] == "Nothing to wind until Sat 08:25.\n"


@pytest.mark.parametrize("days", ["0", "61", "-3", "a few"])
def test_days_are_whole_and_not_too_many(going: Going, days: str) -> None:
    code, _, complaint = going("round", f"--days={days}")
    assert code == 2
    assert "number of days" in complaint
