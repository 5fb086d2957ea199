"""From a file to the commands that are new in it, and what is wrong with every row that can't be taken."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from zoneinfo import ZoneInfo

from sqlite_utils import Database

from tracker.commands.base import Command
from tracker.csvfile.columns import Kind, columns
from tracker.csvfile.log_rows import log_commands
from tracker.csvfile.place import Place, place_of
from tracker.csvfile.table import Row, Table, read_table
from tracker.csvfile.watch_rows import watch_commands
from tracker.errors import BadInput, BadRow, Rejected
from tracker.words import as_in_files

_READERS: dict[Kind, Callable[[Row, Place], list[Command]]] = {"watches": watch_commands, "log": log_commands}


Progress = Callable[[int, int], None]
ROWS_A_STEP = 500


@dataclass(slots=True)
class Findings:
    """What a file comes to: new rows as commands by line, how many rows are known already, problems by line."""

    kind: Kind
    new: dict[int, list[Command]] = field(default_factory=dict)
    known: int = 0
    problems: list[BadRow] = field(default_factory=list)

    @property
    def commands(self) -> list[Command]:
        """Everything that is new, in the file's order."""
        return [command for commands in self.new.values() for command in commands]

    def blame(self, line: int, problem: BadInput) -> None:
        """Note what is wrong in this line, with its column if one is to blame."""
        column = problem.field if problem.field in _names(self.kind) else ""
        self.problems.append(BadRow(problem.what, line=line, column=column, accepted=problem.accepted))


def _names(kind: Kind) -> set[str]:
    return {column.name for column in columns(kind)}


def silent(_done: int, _total: int) -> None:
    """No report of progress."""


def examine(
    db: Database, data: bytes, kind: Kind, now: datetime, zone: ZoneInfo, *, progress: Progress = silent
) -> Findings:
    """Read the file against the collection; what only applying its commands can find is not in it.

    Args:
        db: the collection.
        data: the file.
        kind: what its rows are.
        now: the present moment.
        zone: where times without offset or zone were noted.
        progress: told now and then, and at the end of a long file, how many rows have been read, out of how many.

    Raises:
        Rejected: not a single row can be read.
    """
    table = read_table(data, columns(kind))
    place = place_of(db, table, now, zone)
    with as_in_files():
        return _examined(table, kind, place, progress)


def _examined(table: Table, kind: Kind, place: Place, progress: Progress) -> Findings:
    findings = Findings(kind, problems=list(table.problems))
    total = len(table.rows)
    for number, row in enumerate(table.rows, 1):
        if number % ROWS_A_STEP == 0 or number == total > ROWS_A_STEP:
            progress(number, total)
        try:
            commands = _READERS[kind](row, place)
        except BadInput as wrong:
            findings.blame(row.line, wrong)
        except Rejected as rejected:
            for problem in rejected.problems:
                findings.blame(row.line, problem)
        else:
            findings.known += not commands
            findings.new |= {row.line: commands} if commands else {}
    return findings
