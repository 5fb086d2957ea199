import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.csvfile.cells import from_cell, same_word, to_cell

TEXTS = st.text(st.characters(codec="utf-8") | st.sampled_from("'=+-@\t\r")).map(str.strip)


@given(TEXTS)
def test_any_text_comes_back_as_it_was(text: str) -> None:
    assert from_cell(to_cell(text)) == text


@given(TEXTS)
def test_no_cell_begins_like_a_formula(text: str) -> None:
    assert not to_cell(text).startswith(("=", "+", "-", "@", "\t", "\r"))


@pytest.mark.parametrize("typed", ["'Tis the ferry's", "'"])
def test_a_quote_someone_typed_stays(typed: str) -> None:
    assert from_cell(typed) == typed


@pytest.mark.parametrize(
    ("value", "cell"),
    [
        (None, ""),
        (True, "yes"),
        (False, "no"),
        (41.5, "41.5"),
        (42.0, "42"),
        (24, "24"),
        (("Mon", "Thu"), "Mon Thu"),
        ("=1+1", "'=1+1"),
    ],
)
def test_a_value_is_written_plainly(value: object, cell: str) -> None:
    assert to_cell(value) == cell


def test_a_closed_word_is_known_whatever_its_capitals() -> None:
    assert same_word("Keep Going", ("when worn", "keep going")) == "keep going"
    assert same_word("seldom", ("when worn", "keep going")) == "seldom"
