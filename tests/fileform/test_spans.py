import json
import subprocess
import sys
from pathlib import Path
from random import Random
from typing import Any

import pytest

from tracker.cli import main
from tracker.errors import BadInput, NotFound, Unavailable, UnknownKey
from tracker.fileform.spans import READING, answer, answer_file

BOOLEAN = {"kind": "boolean", "expected_s": 60, "confirm_readings": 3, "confirm_s": 120}
LEVEL = {"kind": "level", "expected_s": 60, "upper": 0.6, "lower": 0.3}
BEATS = {"kind": "beats", "expected_s": 60, "vph": 18_000, "tolerance": 0.1, "window_s": 10}
KINDS = (BOOLEAN, LEVEL, BEATS)
SAYS: dict[str, tuple[Any, Any]] = {"going": (True, False), "level": (0.9, 0.1), "beats": (50, 0)}


def at(minute: float) -> str:
    return f"2026-11-02T07:{int(minute):02d}:{round(minute % 1 * 60):02d}Z"


def lines(form: dict[str, Any], signs: str) -> list[str]:
    """The file of a reading a minute from 07:00 on: G going, S stopped, anything else no reading."""
    key = READING[form["kind"]]
    said = dict(zip("GS", SAYS[key], strict=True))
    readings = [{"t": at(minute), key: said[sign]} for minute, sign in enumerate(signs) if sign in said]
    return [json.dumps(each) for each in (form, *readings)]


def answered(*written: str) -> dict[str, Any]:
    return answer(f"{line}\n".encode() for line in written)


def span(state: str, first: float, last: float, end: str) -> dict[str, str]:
    return {"state": state, "from": at(first), "to": at(last), "end": end}


@pytest.mark.parametrize("form", KINDS, ids=lambda form: form["kind"])
def test_a_run_its_stop_and_the_start_of_the_next_are_found(form: dict[str, Any]) -> None:
    assert answered(*lines(form, "GGGGSSSSGGG")) == {
        "spans": [span("going", 0, 3, "stopped"), span("stopped", 4, 7, "going"), span("going", 8, 10, "open")],
        "stops": [{"after": at(3), "before": at(4)}],
        "unreadable": 0,
    }


@pytest.mark.parametrize("form", KINDS, ids=lambda form: form["kind"])
def test_a_gap_ends_a_span_as_unknown_and_a_stop_in_it_is_bracketed(form: dict[str, Any]) -> None:
    assert answered(*lines(form, "GGG.....SSS")) == {
        "spans": [span("going", 0, 2, "unknown"), span("stopped", 8, 10, "open")],
        "stops": [{"after": at(2), "before": at(8)}],
        "unreadable": 0,
    }


def test_an_unconfirmed_change_at_the_end_leaves_the_span_open() -> None:
    assert answered(*lines(BOOLEAN, "GGGSS")) == {
        "spans": [span("going", 0, 2, "open")],
        "stops": [],
        "unreadable": 0,
    }


@pytest.mark.parametrize("form", KINDS, ids=lambda form: form["kind"])
def test_neither_order_nor_doubles_nor_empty_lines_change_the_answer(form: dict[str, Any]) -> None:
    first, *readings = lines(form, "GGGGSGGSSSS......GGGSGSSSG")
    shuffled = [*readings, *readings[::3], ""]
    Random(4).shuffle(shuffled)
    assert answered(first, *shuffled) == answered(first, *readings)


def test_confirm_is_three_readings_and_two_minutes_unless_told() -> None:
    form = {"kind": "boolean", "expected_s": 60}
    assert answered(*lines(form, "GGGSS"))["stops"] == []
    assert answered(*lines(form | {"confirm_readings": 2, "confirm_s": 60}, "GGGSS"))["stops"] == [
        {"after": at(2), "before": at(3)}
    ]


def test_a_time_may_be_of_any_zone_and_finer_than_a_second() -> None:
    form = json.dumps(BOOLEAN | {"confirm_readings": 1, "confirm_s": 0})
    found = answered(form, '{"t": "2026-11-02T08:00:00.25+01:00", "going": true}')
    assert found["spans"][0]["from"] == "2026-11-02T07:00:00.250000Z"


@pytest.mark.parametrize(
    "bad",
    [
        "going",
        "[]",
        "{}",
        '{"t": "2026-11-02T07:30:00Z"}',
        '{"going": true}',
        '{"t": "noon", "going": true}',
        '{"t": 1793620800, "going": true}',
        '{"t": "0001-01-01T00:00:00+09:00", "going": true}',
        '{"t": "1969-12-31T23:59:59Z", "going": true}',
        '{"t": "2026-11-02T07:30:00Z", "going": 1}',
        '{"t": "2026-11-02T07:30:00Z", "going": "on"}',
        '{"t": "2026-11-02T07:30:00Z", "going": NaN}',
        '{"t": "2026-11-02T07:30:00Z", "going": true, "going": false}',
        '{"t": "2026-11-02T07:30:00Z", "going": ' + "[" * 100_000,
    ],
)
def test_a_line_that_tells_no_reading_is_counted_and_stops_nothing(bad: str) -> None:
    clean = answered(*lines(BOOLEAN, "GGGSSS"))
    assert answered(*lines(BOOLEAN, "GGGSSS"), bad) == clean | {"unreadable": 1}


def test_a_line_that_is_no_text_is_counted_too() -> None:
    assert answer(iter([json.dumps(BOOLEAN).encode(), b"\xff\xfe"]))["unreadable"] == 1


@pytest.mark.parametrize("value", ["NaN", "1e999", "null", "true", '"0.9"'])
def test_a_level_must_be_a_number(value: str) -> None:
    assert answered(json.dumps(LEVEL), f'{{"t": "{at(1)}", "level": {value}}}')["unreadable"] == 1


def test_readings_of_one_stamp_that_contradict_each_other_are_both_unreadable() -> None:
    contradiction = lines(BOOLEAN, "..S")[1:]
    found = answered(*lines(BOOLEAN, "GGGG"), *contradiction, *contradiction)
    assert found == {"spans": [span("going", 0, 3, "open")], "stops": [], "unreadable": 2}


@pytest.mark.parametrize(
    ("form", "sentence"),
    [
        ("", "line 1 is not JSON: line 1, column 1."),
        ("[1]", "line 1: this is not an object. An object in braces is expected."),
        ("{}", "line 1/kind: this names no kind of sensor. One of boolean, level, beats."),
        (
            '{"kind": "sound", "expected_s": 60}',
            "line 1/kind: this names no kind of sensor. One of boolean, level, beats.",
        ),
        ('{"kind": "boolean"}', "line 1/expected_s: this is missing. A number."),
        (
            '{"kind": "boolean", "expected_s": 0}',
            "line 1/expected_s: 0 is out of range. A number above 0 and up to 1e+08.",
        ),
        (
            '{"kind": "boolean", "expected_s": 60, "confirm_readings": 2.5}',
            "line 1/confirm_readings: 2.5 is not a whole number. A whole number from 1 on.",
        ),
        ('{"kind": "level", "expected_s": 60, "upper": 1}', "line 1/lower: this is missing. A number."),
        (
            '{"kind": "level", "expected_s": 60, "upper": 1, "lower": 2}',
            "line 1/lower: this is above the upper one. A number up to 1.",
        ),
        (
            '{"kind": "beats", "expected_s": 60, "vph": 18000, "tolerance": 0.4, "window_s": 10}',
            "line 1/tolerance: 0.4 is out of range. A number from 0 to 0.3.",
        ),
    ],
)
def test_a_wrong_set_up_is_refused_with_what_is_accepted(form: str, sentence: str) -> None:
    with pytest.raises(BadInput) as caught:
        answered(form)
    assert caught.value.sentence == sentence


@pytest.mark.parametrize(
    ("written", "key"),
    [
        (['{"kind": "boolean", "expected_s": 60, "colour": 1}'], "line 1/colour"),
        (['{"kind": "boolean", "expected_s": 60, "upper": 1}'], "line 1/upper"),
        (['{"colour": 1}'], "line 1/colour"),
        ([json.dumps(BOOLEAN), "", '{"t": "2026-11-02T07:30:00Z", "level": 1}'], "line 3/level"),
    ],
)
def test_an_unknown_key_is_refused_by_its_name(written: list[str], key: str) -> None:
    with pytest.raises(UnknownKey, match="is not a key of this form") as caught:
        answered(*written)
    assert caught.value.field == key


def test_without_readings_there_is_nothing_to_tell() -> None:
    assert answered(json.dumps(BOOLEAN)) == {"spans": [], "stops": [], "unreadable": 0}


def test_a_file_that_is_not_there_or_is_none_is_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(NotFound):
        answer_file(str(tmp_path / "none.jsonl"))
    with pytest.raises(Unavailable):
        answer_file(str(tmp_path))


def test_the_command_answers_a_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "readings.jsonl"
    file.write_text("\n".join(lines(BOOLEAN, "GGGSSS")))
    assert main(["spans", "--from", str(file), "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == answered(*lines(BOOLEAN, "GGGSSS"))


def test_the_form_starts_without_database_pydantic_and_flask() -> None:
    heavy = "{'flask', 'pydantic', 'sqlite_utils', 'sqlite3', 'paho', 'plotly', 'scipy'} & set(sys.modules)"
    code = f"import sys; import tracker.cli.forms; print({heavy})"
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout == "set()\n"
