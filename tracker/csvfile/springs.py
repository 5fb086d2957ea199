"""A list of springs that can be had, as a CSV file of the owner's own."""

from collections.abc import Iterator
from dataclasses import dataclass

from tracker.core.barrel.line import Strip, Unread, strip_of
from tracker.core.lengths import NoLength, length_of
from tracker.core.thousands import two_ways
from tracker.csvfile.columns import Column
from tracker.csvfile.table import Row, read_table
from tracker.errors import BadRow
from tracker.words import say

_A_LENGTH = "mm, or with its unit"
COLUMNS = (
    Column("name", "what you call it: a number in a catalogue, a drawer", "text"),
    Column("spring", "all sizes in one cell, in place of the four columns that follow", "1.30 × 0.115 × 350 × 11"),
    Column("height_mm", "height of the strip", _A_LENGTH),
    Column("thickness_mm", "its thickness", _A_LENGTH),
    Column("length_mm", "its length", _A_LENGTH),
    Column("barrel_mm", "inner diameter of the drum that it is sold for, if told", _A_LENGTH),
)
"""The columns of such a list."""
NEEDED = ("height_mm", "thickness_mm", "length_mm")


@dataclass(frozen=True, slots=True)
class Offered:
    """A spring of the list: the line it stands in, what it is called, its sizes."""

    line: int
    name: str
    strip: Strip


@dataclass(frozen=True, slots=True)
class Springs:
    """What a list holds, and what is wrong with the rows that can't be read."""

    offered: list[Offered]
    problems: list[BadRow]


def read_springs(data: bytes) -> Springs:
    """Read a list; a row that can't be read is told by line and column, and the others are taken.

    Raises:
        Rejected: not a single row can be read.
    """
    table = read_table(data, COLUMNS)
    found = Springs([], list(table.problems))
    for row in table.rows:
        wrong = list(_problems(row))
        if wrong:
            found.problems.extend(wrong)
        else:
            found.offered.append(Offered(row.line, row.cells.get("name", ""), _strip(row)))
    return found


def _strip(row: Row) -> Strip:
    if "spring" in row.cells:
        return strip_of(row.cells["spring"])
    height, thickness, length = (length_of(row.cells[name]).mm for name in NEEDED)
    drum = row.cells.get("barrel_mm")
    return Strip(height, thickness, length, length_of(drum).mm if drum else None)


def _problems(row: Row) -> Iterator[BadRow]:
    if "spring" in row.cells:
        yield from _of_line(row)
        return
    for name in (*NEEDED, "barrel_mm"):
        cell = row.cells.get(name)
        if cell is None and name in NEEDED:
            yield BadRow(say("This is needed."), line=row.line, column=name)
        elif cell is not None:
            yield from _of_length(row.line, name, cell)


def _of_line(row: Row) -> Iterator[BadRow]:
    try:
        strip_of(row.cells["spring"])
    except Unread:
        what = say("“{line}” is not a spring.", line=row.cells["spring"])
        accepted = say("Give height × thickness × length × barrel in mm: 1.30 × 0.115 × 350 × 11.")
        yield BadRow(what, line=row.line, column="spring", accepted=accepted)


def _of_length(line: int, name: str, cell: str) -> Iterator[BadRow]:
    try:
        if two_ways(cell, "point"):
            raise NoLength(cell)  # noqa: TRY301 -- as one that can't be read
        length_of(cell)
    except NoLength:
        what = say("“{input}” is not a length.", input=cell)
        accepted = say("Give millimetres, such as 1.3 or 1,3, or name the unit: 0.45 in, 5 1/2 ligne.")
        yield BadRow(what, line=line, column=name, accepted=accepted)
