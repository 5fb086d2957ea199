"""Taking in a file as one batch, or telling all that stands against it."""

from contextlib import suppress
from zoneinfo import ZoneInfo

from tracker.commands.base import Who
from tracker.commands.door import Then, submit
from tracker.csvfile.columns import Kind
from tracker.csvfile.reading import Findings, Progress, examine, silent
from tracker.derive import catch_up
from tracker.errors import BadInput, BadRow, Conflict, GoingError, NotFound, Rejected
from tracker.store.store import Store
from tracker.store.writer import Writer


class _NotMeant(Exception):
    """No error: it ends a rehearsal, so that its writes are rolled back."""


def try_csv(store: Store, data: bytes, kind: Kind, who: Who, *, progress: Progress = silent) -> Findings:
    """What an import of this file would do: its problems are all there are, its new rows would be accepted.

    Raises:
        Rejected: not a single row can be read.
        Unavailable: the collection is locked.
    """
    findings = examine(store.reading(), data, kind, who.now, ZoneInfo(who.zone), progress=progress)
    _rehearse(store, findings, who)
    return findings


def import_csv(
    store: Store, data: bytes, kind: Kind, who: Who, *, progress: Progress = silent, then: Then = catch_up
) -> Findings:
    """Take in what is new in this file: all of it as one batch, or nothing; `then` sees to the estimates.

    Raises:
        Rejected: every problem of every row; nothing was taken.
        Unavailable: the collection is locked, or the disk refuses.
    """
    findings = examine(store.reading(), data, kind, who.now, ZoneInfo(who.zone), progress=progress)
    refused: GoingError | None = None
    if findings.commands and not findings.problems:
        try:
            submit(store, findings.commands, who, then=then)
        except (BadInput, Conflict, NotFound) as error:
            refused = error
    if refused or findings.problems:
        _rehearse(store, findings, who)
        raise Rejected(findings.problems) from refused
    return findings


def _rehearse(store: Store, findings: Findings, who: Who) -> None:
    """Apply every new row for its problems alone; rows with one are no longer new, and nothing is kept."""
    failed: dict[int, GoingError] = {}
    with suppress(_NotMeant), store.change() as db:
        for line, commands in findings.new.items():
            try:
                for command in commands:
                    command.apply(Writer(db, command.uid), who)
            except (BadInput, Conflict, NotFound) as error:
                failed[line] = error
        raise _NotMeant
    for line, failure in failed.items():
        del findings.new[line]
        findings.blame(line, failure if isinstance(failure, BadInput) else BadInput(failure.sentence))
    findings.problems.sort(key=_line)


def _line(problem: BadRow) -> int:
    return problem.line
