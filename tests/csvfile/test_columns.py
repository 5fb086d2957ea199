import pytest

from tracker.commands.register import FIELD_NAMES
from tracker.csvfile.columns import ENTRIES, NOT_IN_FILES, EntryKind, Kind, columns, columns_markdown, entry_columns


def test_every_field_of_a_watch_has_its_column() -> None:
    assert {column.name for column in columns("watches")} == {"uid", "archived", *FIELD_NAMES}


@pytest.mark.parametrize("entry", ENTRIES)
def test_every_field_of_an_entry_has_its_column(entry: EntryKind) -> None:
    names = {column.name for column in columns("log")}
    assert entry_columns(entry) <= names
    assert set(ENTRIES[entry][0].model_fields) - names == NOT_IN_FILES & set(ENTRIES[entry][0].model_fields)


def test_no_column_of_the_log_is_without_an_entry_that_fills_it() -> None:
    used = set().union(*(entry_columns(entry) for entry in ENTRIES))
    assert {column.name for column in columns("log")} == used


@pytest.mark.parametrize("kind", ["watches", "log"])
def test_the_table_for_readers_has_a_line_for_each_column(kind: Kind) -> None:
    lines = columns_markdown(kind).splitlines()
    assert [line.split("`")[1] for line in lines[2:]] == [column.name for column in columns(kind)]


def test_closed_words_are_those_of_the_commands() -> None:
    told = {column.name: column.words for column in columns("log")}
    assert told["amount"] == ("full", "part", "unsure")
    assert told["act"] == ("put on", "laid down", "on", "off")
    assert told["date_set"] == ("yes", "no")
    assert told["note"] == ()
