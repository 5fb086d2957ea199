from typing import get_args

from hypothesis import given
from hypothesis import strategies as st

from sensors.unread import LONGEST_SHOWN, SENTENCES, Refused, Unread, Why, shown


def test_every_reason_has_its_sentence() -> None:
    assert set(SENTENCES) == {*get_args(Why), *get_args(Refused)}


def test_the_sentence_names_the_piece_to_blame() -> None:
    assert Unread("no number", shown("warm")).sentence == "“warm” is not a number."


@given(st.text() | st.integers() | st.floats() | st.none() | st.booleans() | st.text(st.characters(categories=["Cs"])))
def test_a_piece_is_shown_short_and_can_always_be_stored(value: object) -> None:
    text = shown(value)
    assert len(text) <= LONGEST_SHOWN + 2
    assert text.isprintable()
    text.encode()


def test_what_nests_is_named_not_written_out() -> None:
    assert (shown({"a": 1}), shown([1])) == ("an object", "a list")
