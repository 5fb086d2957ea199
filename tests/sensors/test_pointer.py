"""JSON pointers against the examples of RFC 6901, section 5."""

import json
from pathlib import Path
from typing import Any

import pytest

from sensors.pointer import Missing, find, pointer, tokens
from tracker.errors import BadInput

VECTORS = json.loads((Path(__file__).parent / "json_pointer_vectors.json").read_text())
DOCUMENT = VECTORS["document"]


@pytest.mark.parametrize("case", VECTORS["pointers"], ids=lambda case: repr(case["pointer"]))
def test_every_example_of_rfc_6901_section_5_finds_its_value(case: dict[str, Any]) -> None:
    expected = DOCUMENT if case["value"] == "<whole document>" else case["value"]
    assert find(DOCUMENT, tokens(case["pointer"])) == expected


@pytest.mark.parametrize("case", VECTORS["must_fail"], ids=lambda case: repr(case["pointer"]))
def test_what_rfc_6901_forbids_or_is_not_there_is_not_found(case: dict[str, Any]) -> None:
    with pytest.raises((BadInput, Missing)):
        find(DOCUMENT, tokens(case["pointer"]))


@pytest.mark.parametrize("case", VECTORS["pointers"], ids=lambda case: repr(case["pointer"]))
def test_a_pointer_taken_apart_is_put_together_again(case: dict[str, Any]) -> None:
    assert pointer(tokens(case["pointer"])) == case["pointer"]


def test_a_tilde_and_a_one_stay_what_they_are_by_rfc_6901_section_4() -> None:
    assert tokens("/~01") == ("~1",)


@pytest.mark.parametrize(
    ("pointer", "sentence"),
    [
        ("s/tick", "“s/tick” does not begin with a slash."),
        ("/s~tick", "“/s~tick” has a stray tilde."),
    ],
)
def test_a_wrong_pointer_is_told_with_what_is_accepted(pointer: str, sentence: str) -> None:
    with pytest.raises(BadInput) as caught:
        tokens(pointer)
    accepted = "A JSON pointer, such as /s/tick; ~1 stands for a slash in a name, ~0 for a tilde."
    assert caught.value.sentence == f"{sentence} {accepted}"


@pytest.mark.parametrize("token", ["9" * 5000, "٣", "-1", "+1", "1.0", ""])
def test_only_a_plain_number_within_reach_is_an_index(token: str) -> None:
    with pytest.raises(Missing):
        find([0, 1, 2, 3], (token,))


def test_text_has_no_elements() -> None:
    with pytest.raises(Missing):
        find("tick", ("0",))
