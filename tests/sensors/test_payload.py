import json
from typing import Any, get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sensors.payload import LONGEST, READERS, Form, Reading, read
from sensors.pointer import tokens
from sensors.unread import Refused, Unread, Why

ARRIVED = 1_793_620_800.0
PLAIN = Form("plain", "boolean")
LEVEL = Form("plain", "number")
NESTED = Form("json", "boolean", tokens("/s/tick"), tokens("/t"))
PACK = Form("senml", "boolean", record="urn:dev:ow:10e2073a01080063:tick")
FORMS = (
    PLAIN,
    LEVEL,
    NESTED,
    Form("json", "number", tokens("")),
    Form("json", "number", tokens("/0/v"), tokens("/0/t")),
    PACK,
    Form("senml", "number", record="a"),
)


def written(value: object) -> bytes:
    return json.dumps(value).encode()


def one(message: bytes, form: Form) -> Reading | Unread:
    (found,) = read(message, form, ARRIVED)
    return found


def why(message: bytes, form: Form) -> Why | Refused:
    found = one(message, form)
    assert isinstance(found, Unread)
    return found.why


@pytest.mark.parametrize(
    ("message", "value"), [(b"on", 1), (b"OFF", 0), (b"1", 1), (b"true\n", 1), (b" Stopped ", 0), (b"no", 0)]
)
def test_plain_words_are_going_or_stopped(message: bytes, value: float) -> None:
    assert one(message, PLAIN) == Reading(ARRIVED, value, stamped=False)


def test_the_words_are_those_of_the_set_up() -> None:
    form = Form("plain", "boolean", going_words=("tickt",), stopped_words=("Stößt",))
    assert [one(text.encode(), form) for text in ("TICKT", "stösst")] == [
        Reading(ARRIVED, 1, stamped=False),
        Reading(ARRIVED, 0, stamped=False),
    ]
    assert why(b"on", form) == "no word"


@pytest.mark.parametrize(("message", "value"), [(b"Right", 1), (b"anticlockwise", -1), (b"off", 0)])
def test_a_word_tells_whether_a_winder_turns_and_which_way(message: bytes, value: float) -> None:
    assert one(message, Form("plain", "turning")) == Reading(ARRIVED, value, stamped=False)


@pytest.mark.parametrize(
    ("message", "value"),
    [
        (b'{"turns": 12, "way": "right"}', 12),
        (b'{"turns": 12, "way": "LEFT"}', -12),
        (b'{"turns": 0, "way": "none"}', 0),
    ],
)
def test_a_direction_in_a_word_of_its_own_makes_what_is_anticlockwise_negative(message: bytes, value: float) -> None:
    form = Form("json", "number", ("turns",), direction_at=("way",))
    assert one(message, form) == Reading(ARRIVED, value, stamped=False)


@pytest.mark.parametrize(
    ("message", "value"), [(b"0.42", 0.42), (b"-3", -3), (b"+1e3", 1000), (b".5", 0.5), (b"7.", 7)]
)
def test_a_plain_number_is_a_level(message: bytes, value: float) -> None:
    assert one(message, LEVEL) == Reading(ARRIVED, value, stamped=False)


@pytest.mark.parametrize(
    ("value", "going"), [(True, 1), (False, 0), (1, 1), (0, 0), (1.0, 1), ("on", 1), ("Off", 0), ("0", 0)]
)
def test_json_says_going_in_any_of_its_kinds(value: object, going: float) -> None:
    found = one(written({"s": {"tick": value}, "t": ARRIVED}), NESTED)
    assert found == Reading(ARRIVED, going, stamped=True)


def test_json_with_its_own_time_keeps_it_and_without_one_takes_the_arrival() -> None:
    message = written({"s": {"tick": True}, "t": (ARRIVED - 90.5) * 1000})
    assert one(message, NESTED) == Reading(ARRIVED - 90.5, 1, stamped=True)
    unstamped = Form("json", "boolean", tokens("/s/tick"))
    assert one(message, unstamped) == Reading(ARRIVED, 1, stamped=False)


def test_a_senml_pack_gives_the_records_of_its_name_in_order_of_time() -> None:
    pack = [
        {"bn": "urn:dev:ow:10e2073a01080063:", "bt": ARRIVED, "n": "tick", "vb": True, "t": -60},
        {"n": "temp", "u": "Cel", "v": 23.1},
        {"n": "tick", "vb": False, "t": -120},
        {"n": "tick", "v": 1, "u": "/"},
        {"n": "tick", "vs": "off", "t": 200},
    ]
    assert read(written(pack), PACK, ARRIVED) == [
        Reading(ARRIVED - 120, 0, stamped=True),
        Reading(ARRIVED - 60, 1, stamped=True),
        Reading(ARRIVED, 1, stamped=True, unit="/"),
        Unread("too far ahead", "2026-11-02T12:03:20Z"),
    ]


def test_a_senml_time_that_counts_from_now_is_no_stamp_of_the_sensor() -> None:
    form = Form("senml", "number", record="a")
    assert one(b'[{"n":"a","s":12,"t":-5}]', form) == Reading(ARRIVED - 5, 12, stamped=False)


REASONS: list[tuple[Why, bytes, Form]] = [
    ("too long", b"1" * (LONGEST + 1), LEVEL),
    ("not UTF-8", b"\xff\xfe", PLAIN),
    ("not UTF-8", b"\xed\xa0\x80", PLAIN),
    ("empty", b"", PLAIN),
    ("empty", b" \r\n", NESTED),
    ("not JSON", b"{'tick': 1}", NESTED),
    ("not JSON", b'{"s": {"tick": NaN}}', NESTED),
    ("not JSON", b"[1] [2]", NESTED),
    ("beyond JSON", b"[" * LONGEST, NESTED),
    ("beyond JSON", b"9" * 5000, NESTED),
    ("beyond JSON", b'{"s": 1, "s": 2}', NESTED),
    ("not there", b'{"s": {}}', NESTED),
    ("not there", b'{"s": {"tick": true}}', NESTED),
    ("no word", b"perhaps", PLAIN),
    ("no word", b'{"s": {"tick": null}}', NESTED),
    ("no word", b'{"s": {"tick": 2}}', NESTED),
    ("no word", b'{"s": {"tick": "\\ud800"}}', NESTED),
    ("no word", b'{"s": {"tick": [true]}}', NESTED),
    ("no direction", b"on", Form("plain", "turning")),
    ("no direction", b'{"turns": 3, "way": "off"}', Form("json", "number", ("turns",), direction_at=("way",))),
    ("no number", b"nan", LEVEL),
    ("no number", b"inf", LEVEL),
    ("no number", b"1e999", LEVEL),
    ("no number", b"0,42", LEVEL),
    ("no number", b"1_000", LEVEL),
    ("no number", "٣".encode(), LEVEL),
    ("no number", b"true", Form("json", "number")),
    ("no number", b"1e999", Form("json", "number")),
    ("no number", b"9" * 400, Form("json", "number")),
    ("no time", b'{"s": {"tick": true}, "t": "noon"}', NESTED),
    ("no time", b'{"s": {"tick": true}, "t": 1e999}', NESTED),
    ("no zone", b'{"s": {"tick": true}, "t": "2026-11-02T12:00:00"}', NESTED),
    ("too far behind", b'{"s": {"tick": true}, "t": 1781}', NESTED),
    ("too far ahead", b'{"s": {"tick": true}, "t": 1793620921}', NESTED),
    ("no pack", b"{}", PACK),
    ("no record", b'[{"n": "other", "vb": true}]', PACK),
]


@pytest.mark.parametrize(("reason", "message", "form"), REASONS, ids=lambda part: str(part)[:24])
def test_a_message_that_tells_nothing_gets_its_reason(reason: Why, message: bytes, form: Form) -> None:
    assert why(message, form) == reason


def test_every_reason_is_provoked_by_some_message() -> None:
    assert {reason for reason, _, _ in REASONS} == set(get_args(Why))


def test_a_message_of_64_kib_is_still_read() -> None:
    assert one(b" " * (LONGEST - 1) + b"1", LEVEL) == Reading(ARRIVED, 1, stamped=False)


def test_every_way_of_writing_has_its_reader() -> None:
    assert {form.written for form in FORMS} == set(READERS)


HUGE = st.integers(-(10**400), 10**400) | st.floats() | st.sampled_from([1e308, -1e308, 2**28, 1e11, 1e18])
SCALARS = st.none() | st.booleans() | HUGE | st.text(max_size=8) | st.text(st.characters(categories=["Cs"]), max_size=2)
LABELS = st.sampled_from(["s", "tick", "t", "v", "n", "bn", "bt", "bv", "bs", "vb", "vs", "vd", "u", "bver", "x_"])
DOCUMENTS = st.recursive(
    SCALARS, lambda inner: st.lists(inner, max_size=4) | st.dictionaries(LABELS, inner, max_size=5), max_leaves=20
)


def never_fails(message: bytes) -> None:
    for form in FORMS:
        for found in read(message, form, ARRIVED) or pytest.fail("nothing"):
            if isinstance(found, Unread):
                found.sentence.encode()
            else:
                assert abs(found.value) < float("inf")
                assert ARRIVED - 86_400 <= found.at_s <= ARRIVED + 120


@settings(max_examples=150, deadline=None, derandomize=True)
@given(st.binary(max_size=200))
def test_random_bytes_never_raise(message: bytes) -> None:
    never_fails(message)


@settings(max_examples=200, deadline=None, derandomize=True)
@given(DOCUMENTS)
def test_random_documents_never_raise(document: Any) -> None:
    never_fails(json.dumps(document).encode())


@settings(max_examples=20, deadline=None, derandomize=True)
@given(st.integers(1, LONGEST // 6), st.sampled_from(["[]", '{"s":}', '[{"n":"a","v":}]', '{"t":}']))
def test_deep_nesting_never_raises(depth: int, pair: str) -> None:
    middle = len(pair) // 2 if pair == "[]" else pair.index("}")
    never_fails((pair[:middle] * depth + "1" + pair[middle:] * depth).encode()[:LONGEST])
