import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sensors.guess import guesses
from sensors.payload import read
from sensors.unread import Unread

NOW = 1_781_000_000.0


@pytest.mark.parametrize(
    ("message", "written", "gives", "value"),
    [
        (b"on", "plain", "boolean", 1.0),
        (b"OFF", "plain", "boolean", 0.0),
        (b"0.42", "plain", "number", 0.42),
        (b'{"s": {"tick": true}}', "json", "boolean", 1.0),
        (b'{"level": 0.31}', "json", "number", 0.31),
        (b'[{"bn": "urn:dev:ow:1", "n": "tick", "vb": true}]', "senml", "boolean", 1.0),
    ],
)
def test_the_first_guess_reads_what_is_there(message: bytes, written: str, gives: str, value: float) -> None:
    first = guesses(message, NOW)[0]
    assert (first.form.written, first.form.gives, first.reading.value) == (written, gives, value)


def test_a_time_beside_the_value_is_proposed_with_it() -> None:
    message = json.dumps({"tray": {"tick": True, "t": 1000 * (NOW - 5)}, "t": NOW - 90, "up": 77}).encode()
    first = guesses(message, NOW)[0]
    assert (first.form.value_at, first.form.time_at) == (("tray", "tick"), ("tray", "t"))
    assert (first.reading.at_s, first.reading.stamped) == (NOW - 5, True)


def test_what_is_called_time_but_is_none_to_be_believed_is_not_proposed() -> None:
    assert {each.form.time_at for each in guesses(b'{"tick": true, "t": 17}', NOW)} == {None}


def test_each_way_is_told_once() -> None:
    forms = [each.form for each in guesses(b'{"a": 1, "b": {"c": "off"}}', NOW)]
    assert len({*forms}) == len(forms)
    assert {form.value_at for form in forms} == {("a",), ("b", "c")}


def test_a_message_that_tells_nothing_has_none() -> None:
    assert guesses(b"", NOW) == guesses(b"\xff", NOW) == guesses(b'{"name": "tray three"}', NOW) == []


@given(st.one_of(st.binary(max_size=300), st.recursive(st.none() | st.booleans() | st.floats() | st.text(max_size=8),
       lambda each: st.lists(each, max_size=4) | st.dictionaries(st.text(max_size=5), each, max_size=4)).map(
       lambda value: json.dumps(value).encode("utf-8", "replace"))))  # fmt: skip
def test_every_guess_reads_its_message(message: bytes) -> None:
    for each in guesses(message, NOW):
        assert each.reading in [reading for reading in read(message, each.form, NOW) if not isinstance(reading, Unread)]


def test_a_message_beyond_all_measure_is_no_matter() -> None:
    assert guesses(b"[" * 70_000, NOW) == []
    assert guesses(b"[" * 30_000, NOW) == []
    assert guesses(json.dumps({str(number): number for number in range(2_000)}).encode(), NOW)
