import pytest

from tracker.csvfile.columns import columns
from tracker.csvfile.table import read_table
from tracker.errors import Rejected

WATCHES = columns("watches")


def rows(text: str) -> list[tuple[int, dict[str, str]]]:
    return [(row.line, row.cells) for row in read_table(text.encode(), WATCHES).rows]


@pytest.mark.parametrize("mark", ["", "\ufeff"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("delimiter", [",", ";"])
def test_commas_and_semicolons_marks_and_line_ends_are_read_alike(delimiter: str, end: str, mark: str) -> None:
    text = f"{mark}nickname,calibre,note{end}Night ferry,K-12,{end}".replace(",", delimiter)
    assert rows(text) == [(2, {"nickname": "Night ferry", "calibre": "K-12"})]


def test_the_first_line_decides_the_delimiter_whatever_the_cells_hold() -> None:
    assert rows("nickname;note\nNight ferry;a,b,c,d\n") == [(2, {"nickname": "Night ferry", "note": "a,b,c,d"})]


def test_a_row_is_known_by_the_line_it_begins_in() -> None:
    text = 'nickname,note\n\nNight ferry,"two\nlines"\n , \nWorkshop spare,\n'
    assert [line for line, _ in rows(text)] == [3, 6]


def test_capitals_and_spaces_of_column_names_and_closed_words_do_not_matter() -> None:
    assert rows(" Nickname ,Wound_By\nNight ferry, Crown And Rotor\n") == [
        (2, {"nickname": "Night ferry", "wound_by": "crown and rotor"})
    ]


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (
            b"nickname,colour\n",
            "Line 1: This file has no columns of these names: colour. The first line names the columns, out of: uid, ",
        ),
        (b"nickname,note,note\n", "Line 1: These columns are named twice: note."),
        (b"note\n", "Line 1: These columns are missing: nickname."),
        (b"", "The file is empty. The first line names the columns, out of: uid, nickname, "),
        (b"nickname\nNight\nf\xe4rry\n", "Line 3: This is not UTF-8 text. Save the file as CSV in UTF-8."),
        ("nickname\n".encode("utf-16"), "Line 1: This is not UTF-8 text. Save the file as CSV in UTF-8."),
    ],
)
def test_a_file_that_can_not_be_read_at_all_says_why(data: bytes, sentence: str) -> None:
    with pytest.raises(Rejected) as caught:
        read_table(data, WATCHES)
    assert caught.value.problems[0].sentence.startswith(sentence)


@pytest.mark.parametrize(
    ("text", "sentences"),
    [
        (
            "nickname,note\na,b\nc\nd,e\n",
            ["Line 3: Cells in this row: 1; columns in the first line: 2. Give each column its cell, empty or not."],
        ),
        (
            'nickname,note\na,b\nc,"d" e\nf,g\n',
            [
                (
                    "Line 3: The quotes of this row can't be made out (',' expected after '\"'). "
                    "A cell in double quotes ends with one, and has each quote within it twice."
                )
            ],
        ),
    ],
)
def test_a_row_that_can_not_be_read_is_named_by_its_line(text: str, sentences: list[str]) -> None:
    table = read_table(text.encode(), WATCHES)
    assert [problem.sentence for problem in table.problems] == sentences
    assert table.rows[0].cells == {"nickname": "a", "note": "b"}
