"""Readings pasted as a block: a line for each position, its cells parted by tabs, semicolons or commas.

The first line may name the columns; without it they are position, rate, amplitude, beat error. This is our own form: the
columns are those of the log's CSV file.
"""

import csv
import io
from collections.abc import Iterator

from tracker.errors import BadRow, Rejected
from tracker.words import say

COLUMNS = ("position", "rate_s_per_day", "amplitude_deg", "beat_error_ms")
OTHERS = ("since_wind_min", "lift_angle_deg", "vibrations_per_hour", "temperature_c", "programme_day")
SHORT = {"rate": "rate_s_per_day", "amplitude": "amplitude_deg", "beat error": "beat_error_ms"}
"""What a column may be called, too."""
_PARTED_BY = ("\t", ";", ",")

Line = tuple[int, dict[str, str]]


def pasted(text: str) -> list[Line]:
    """Each line by its number, with its cells by column; blank ones left out.

    Raises:
        Rejected: lines that do not fit their columns, each by its number.
    """
    by = next((each for each in _PARTED_BY if each in text), ",")
    lines = [(number, cells) for number, cells in _lines(text, by) if any(cells)]
    if not lines:
        return []
    names = _names(lines[0][1])
    if names is None:
        names = list(COLUMNS)
    else:
        lines = lines[1:]
    problems = [_too_many(number, cells, names) for number, cells in lines if len(cells) > len(names)]
    if problems:
        raise Rejected(problems)
    return [(number, {name: cell for name, cell in zip(names, cells, strict=False) if cell}) for number, cells in lines]


def _lines(text: str, by: str) -> Iterator[tuple[int, list[str]]]:
    for number, cells in enumerate(csv.reader(io.StringIO(text), delimiter=by), 1):
        yield number, [cell.strip() for cell in cells]


def _names(cells: list[str]) -> list[str] | None:
    """The columns that a first line names; None if it names none."""
    told = [SHORT.get(cell.casefold(), cell.casefold()) for cell in cells]
    if "position" not in told:
        return None
    unknown = [cell for cell, name in zip(cells, told, strict=True) if name not in (*COLUMNS, *OTHERS)]
    if unknown:
        known = ", ".join((*COLUMNS, *OTHERS))
        what = say("There are no columns of these names: {names}.", names=", ".join(unknown))
        raise Rejected(
            [BadRow(what, line=1, accepted=say("The first line names the columns, out of: {known}.", known=known))]
        )
    return told


def _too_many(number: int, cells: list[str], names: list[str]) -> BadRow:
    return BadRow(
        say("Cells in this line: {n}; columns: {m}.", n=len(cells), m=len(names)),
        line=number,
        accepted=say("Part cells by tabs or semicolons where numbers have a decimal comma."),
    )
