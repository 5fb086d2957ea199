"""Bytes of a CSV file as rows of named cells, each with its line."""

import csv
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from tracker.csvfile.cells import from_cell, same_word
from tracker.csvfile.columns import Column
from tracker.errors import BadInput, BadRow, Rejected
from tracker.words import say

DELIMITERS = (",", ";")


@dataclass(frozen=True, slots=True)
class Row:
    """A row: the line it begins in, and its cells by column, empty ones left out."""

    line: int
    cells: dict[str, str]


@dataclass(frozen=True, slots=True)
class Table:
    """What a file holds: its columns, the rows that can be read, what is wrong with the others."""

    columns: frozenset[str]
    rows: list[Row]
    problems: list[BadRow]


def read_table(data: bytes, columns: Sequence[Column]) -> Table:
    """Read UTF-8 text, its cells parted by commas or semicolons, whichever its first line makes sense with.

    Raises:
        Rejected: it is no such text, or its first line does not name the columns.
    """
    text = _decoded(data)
    problems: list[BadRow] = []
    lines = _lines(text, _delimiter(text, columns), problems)
    header = _header(next(lines, None), columns, problems)
    words = {column.name: column.words for column in columns}
    rows = []
    for line, cells in lines:
        if len(cells) == len(header):
            rows.append(Row(line, _named(header, cells, words)))
        else:
            problems.append(
                BadRow(
                    say("Cells in this row: {n}; columns in the first line: {m}.", n=len(cells), m=len(header)),
                    line=line,
                    accepted=say("Give each column its cell, empty or not."),
                )
            )
    return Table(frozenset(header), rows, problems)


def _decoded(data: bytes) -> str:
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        problem = BadRow(say("This is not UTF-8 text."), line=line, accepted=say("Save the file as CSV in UTF-8."))
        raise Rejected([problem]) from error


def _delimiter(text: str, columns: Sequence[Column]) -> str:
    known = {column.name for column in columns}
    first = next((line for line in text.splitlines() if line.strip()), "")

    def understood(delimiter: str) -> int:
        return len(known & {_name(cell.strip('"')) for cell in first.split(delimiter)})

    return max(DELIMITERS, key=understood)


def _lines(text: str, delimiter: str, problems: list[BadRow]) -> Iterator[tuple[int, list[str]]]:
    """Rows that are not blank, with the line each begins in; reading ends where the quotes can't be made out."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    line = 1
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                yield line, cells
            line = reader.line_num + 1
    except csv.Error as error:
        problems.append(
            BadRow(
                say("The quotes of this row can't be made out ({why}).", why=error),
                line=line,
                accepted=say("A cell in double quotes ends with one, and has each quote within it twice."),
            )
        )


def _name(cell: str) -> str:
    return cell.strip().casefold()


def _header(first: tuple[int, list[str]] | None, columns: Sequence[Column], problems: list[BadRow]) -> list[str]:
    known = ", ".join(column.name for column in columns)
    names_them = say("The first line names the columns, out of: {known}.", known=known)
    if first is None:
        raise Rejected(problems or [BadInput(say("The file is empty."), accepted=names_them)])
    line, header = first[0], [_name(cell) for cell in first[1]]
    names = [column.name for column in columns]
    wrong = [
        BadRow(say(what, names=", ".join(faulty)), line=line, accepted=accepted)
        for what, accepted, faulty in (
            ("This file has no columns of these names: {names}.", names_them, [n for n in header if n not in names]),
            ("These columns are named twice: {names}.", "", [n for n in names if header.count(n) > 1]),
            ("These columns are missing: {names}.", "", [c.name for c in columns if c.needed and c.name not in header]),
        )
        if faulty
    ]
    if wrong:
        raise Rejected(wrong)
    return header


def _named(header: list[str], cells: list[str], words: dict[str, tuple[str, ...]]) -> dict[str, str]:
    named = {name: same_word(from_cell(cell), words[name]) for name, cell in zip(header, cells, strict=True)}
    return {name: text for name, text in named.items() if text}
