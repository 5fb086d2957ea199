import json

import pytest

from tests.cli.conftest import Going

ASKED = ("away", "--from", "2026-11-27T10:00", "--to", "2026-12-01T18:00")


@pytest.fixture
def used(going: Going) -> Going:
    going("add", "Night ferry", "--reserve", "42", "--habit", "keep-going")
    going("add", "Long passage", "--reserve-class", "eight-days", "--habit", "keep-going")
    going("wound", "Night", "--at", "2026-11-25T06:30Z")
    going("wound", "Long", "--at", "2026-11-25T06:30Z")
    return going


def test_an_absence_is_told_as_on_the_page(used: Going) -> None:
    code, said, complaint = used(*ASKED)
    assert (code, complaint) == (0, "")
    assert said.splitlines()[0].startswith("Leave Fri 10:00, back Tue 18:00: ")
    assert "Stopped when you are back: one:" in said
    assert "  Night ferry: even if wound before you leave: stops hardly later than " in said


def test_whoever_comes_by_is_told_what_to_wind_and_when(used: Going) -> None:
    said = used(*ASKED, "--every", "1", "--at", "9:30")[1]
    assert "Wound while you are away:\n  Sat 09:30: Night ferry.\n" in said
    found = json.loads(used(*ASKED, "--every", "1", "--json")[1])["visits"]
    assert found[0] == {"at": "2026-11-28T09:00:00Z", "wind": ["Night ferry"]}
    assert "No visit keeps a watch going" in used(*ASKED, "--every", "4")[1]
    code, _, complaint = used(*ASKED, "--every", "1", "--at", "noon")
    assert (code, "“noon” is not a time on the clock." in complaint) == (2, True)


def test_json_tells_the_same(used: Going) -> None:
    found = json.loads(used(*ASKED, "--taking", "Long", "--json")[1])
    assert found["travelling"] == ["Long passage"]
    (night,) = found["watches"]
    assert (night["watch"], night["advice"]) == ("Night ferry", "let stop")
    assert 0 <= night["going_at_return"] < 0.5
    assert found["leave"] == "2026-11-27T09:00:00Z"


@pytest.mark.parametrize(
    ("leave", "back", "sentence"),
    [
        ("soon", "2026-12-01", "“soon” is not a time."),
        ("2026-11-20T10:00", "2026-12-01", "This time has passed."),
        ("2026-11-27T10:00", "2026-11-27T09:00", "You come back after you leave"),
    ],
)
def test_times_that_cannot_be_are_told(used: Going, leave: str, back: str, sentence: str) -> None:
    code, _, complaint = used("away", "--from", leave, "--to", back)
    assert code == 2
    assert sentence in complaint


def test_an_absence_is_kept_and_taken_back(used: Going) -> None:
    assert "Kept. Reminders stand still while you are away." in used(*ASKED, "--keep")[1]
    code, _, complaint = used(*ASKED, "--keep")
    assert (code, "You are away then already." in complaint) == (3, True)
    assert "Taken back: an absence kept" in used("undo")[1]
    assert used(*ASKED, "--keep", "--json")[0] == 0


def test_back_without_having_been_away_is_refused(used: Going) -> None:
    code, _, complaint = used("back")
    assert code == 4
    assert "You are not away, as far as is noted." in complaint
