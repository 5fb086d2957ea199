import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tracker.errors import BadInput, UnknownKey
from tracker.fileform.rounds import answer, answer_file

DOCUMENT: dict[str, Any] = {
    "now": "2026-11-02T06:00:00Z",
    "end": "2026-11-05T06:00:00Z",
    "slack_min": 30,
    "rounds": ["2026-11-02T07:30:00Z", "2026-11-03T07:30:00Z", "2026-11-03T19:00:00Z", "2026-11-04T07:30:00Z"],
    "watches": [
        {"name": "Night ferry", "wind_by": "2026-11-02T19:00:00Z", "lasts_h": 31.5},
        {"name": "Bar buoy", "wind_by": "2026-11-03T20:00:00Z", "lasts_h": 50},
    ],
}


def test_a_document_is_planned() -> None:
    assert answer(DOCUMENT) == {
        "rounds": 3,
        "windings": 4,
        "least_margin_h": 7.0,
        "plan": [
            {"at": "2026-11-02T07:30:00Z", "wind": ["Night ferry"]},
            {"at": "2026-11-03T07:30:00Z", "wind": ["Night ferry", "Bar buoy"]},
            {"at": "2026-11-04T07:30:00Z", "wind": ["Night ferry"]},
        ],
        "late": [],
        "cannot": [],
        "windings_within": 0,
    }


def test_who_is_late_and_whom_no_round_keeps_is_told() -> None:
    found = answer(
        {
            **DOCUMENT,
            "watches": [
                {"name": "Past", "wind_by": "2026-11-02T05:00:00Z", "lasts_h": 100},
                {"name": "Short", "wind_by": "2026-11-02T19:00:00Z", "lasts_h": 10},
            ],
        }
    )
    assert found["late"] == [{"watch": "Past", "from": "2026-11-02T04:30:00Z", "to": "2026-11-02T07:30:00Z"}]
    assert found["cannot"] == ["Short"]
    assert found["least_margin_h"] is None


@pytest.mark.parametrize(
    ("change", "place"),
    [
        ({"end": "2026-11-01T06:00:00Z"}, "/end"),
        ({"end": "2036-11-01T06:00:00Z"}, "/end"),
        ({"now": 5}, "/now"),
        ({"rounds": "07:30"}, "/rounds"),
        ({"rounds": ["at dawn"]}, "/rounds/0"),
        ({"slack_min": -1}, "/slack_min"),
        ({"watches": [{"name": "a", "wind_by": "2026-11-02"}]}, "/watches/0/lasts_h"),
        ({"watches": [{"name": 3, "wind_by": "2026-11-02", "lasts_h": 3}]}, "/watches/0/name"),
        ({"watches": [{"name": "a", "wind_by": "2026-11-02", "lasts_h": 0}]}, "/watches/0/lasts_h"),
        ({"watches": [{"name": "a", "wind_by": "2026-11-02", "lasts_h": 3}] * 2}, "/watches/1/name"),
    ],
)
def test_what_is_wrong_is_named_with_its_place(change: dict[str, Any], place: str) -> None:
    with pytest.raises(BadInput) as refused:
        answer({**DOCUMENT, **change})
    assert refused.value.field == place


@pytest.mark.parametrize("key", ["now", "end", "rounds", "watches"])
def test_what_is_missing_is_named(key: str) -> None:
    with pytest.raises(BadInput) as refused:
        answer({name: value for name, value in DOCUMENT.items() if name != key})
    assert refused.value.field == f"/{key}"


def test_an_unknown_key_is_refused_by_name() -> None:
    with pytest.raises(UnknownKey):
        answer({**DOCUMENT, "slack_minutes": 30})


def test_the_command_answers_a_file(tmp_path: Path) -> None:
    path = tmp_path / "round.json"
    path.write_text(json.dumps(DOCUMENT))
    told = subprocess.run(
        [sys.executable, "-m", "tracker", "round", "--from", str(path), "--json"], capture_output=True, check=True
    )
    assert json.loads(told.stdout) == answer_file(str(path))


def test_the_form_starts_without_database_pydantic_and_flask() -> None:
    listed = subprocess.run(
        [sys.executable, "-c", "import sys, tracker.fileform.rounds; print(' '.join(sys.modules))"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert not {"flask", "pydantic", "sqlite3", "sqlite_utils", "scipy"} & {*listed.stdout.split()}
