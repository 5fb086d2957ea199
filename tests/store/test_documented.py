"""DEVELOPERS.md describes the file as it is."""

import re
import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tracker.collection import open_collection

PAGE = Path(__file__).parents[2] / "DEVELOPERS.md"
CLOSED = re.compile(r"CHECK \((\w+) IN \(([^)]*)\)\)")

Described = dict[str, dict[str, str]]


def _described() -> Described:
    section = PAGE.read_text(encoding="utf-8").partition("\n## Tables and columns\n")[2].partition("\n## ")[0]
    tables = re.split(r"^### (\w+)$", section, flags=re.MULTILINE)[1:]
    return {
        name: dict(re.findall(r"^\| `(\w+)` \| .+ \| (.+) \|$", text, flags=re.MULTILINE))
        for name, text in zip(tables[::2], tables[1::2], strict=True)
    }


@pytest.fixture(scope="module")
def statements(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """The statement that made each table of a fresh file."""
    opened = open_collection(tmp_path_factory.mktemp("fresh"), datetime(2026, 11, 25, tzinfo=UTC))
    opened.close()
    with closing(sqlite3.connect(opened.path)) as conn:
        return dict(conn.execute("SELECT name, sql FROM sqlite_master WHERE type = 'table'"))


def _columns(statement: str) -> list[str]:
    with closing(sqlite3.connect(":memory:")) as conn:
        conn.execute(statement)
        (name,) = conn.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchone()
        return [row[1] for row in conn.execute(f"PRAGMA table_info({name})")]


def test_every_table_is_described_and_no_other(statements: dict[str, str]) -> None:
    assert sorted(_described()) == sorted(statements)


def test_every_column_is_described_and_no_other(statements: dict[str, str]) -> None:
    described = {table: sorted(columns) for table, columns in _described().items()}
    assert described == {table: sorted(_columns(statement)) for table, statement in statements.items()}


def test_every_closed_set_of_words_is_told_in_full(statements: dict[str, str]) -> None:
    told = _described()
    for table, statement in statements.items():
        for column, words in CLOSED.findall(statement):
            wanted = re.findall(r"'([^']*)'", words) or words.split(", ")
            if wanted != ["0", "1"]:
                assert re.findall(r"`([^`]*)`", told[table][column]) == wanted, f"{table}.{column}"
            else:
                assert told[table][column].startswith("flag"), f"{table}.{column}"
