"""CSV files out and in."""

import sys
from argparse import Namespace
from collections.abc import Collection
from datetime import datetime
from pathlib import Path

from tracker.cli import whole
from tracker.cli.opened import opened, tell
from tracker.cli.progress import on_terminal
from tracker.csvfile.importing import import_csv, try_csv
from tracker.csvfile.reading import Findings, silent
from tracker.csvfile.writing import write_csv
from tracker.derive import catch_up
from tracker.errors import BadInput, Conflict, Rejected, Unavailable
from tracker.store.store import Store
from tracker.words import say


def export(args: Namespace) -> None:
    """Write the file, or show it, or write all into a folder; what is there already is left alone."""
    if args.kind == "all":
        whole.export(args)
        return
    if args.json:
        raise BadInput(say("A file of watches or of the log is CSV; --json is for --kind all."), field="json")
    with opened(args) as collection:
        data = write_csv(collection.store.reading(), args.kind, with_private=args.with_private).encode()
    if args.file in {None, "-"}:
        sys.stdout.buffer.write(data)
        return
    try:
        with Path(args.file).open("xb") as file:
            file.write(data)
    except FileExistsError as error:
        raise Conflict(
            say("{file} is there already and was left alone. Choose another name.", file=args.file)
        ) from error
    except OSError as error:
        raise Unavailable(say("{file} can't be written: {why}.", file=args.file, why=error.strerror)) from error
    tell(say("Written: {file}.", file=args.file))


def import_(args: Namespace) -> int:
    """Take in a file, or tell what would come of it, or bring in all from a folder."""
    if args.kind == "all":
        whole.bring_in(args)
        return 0
    if args.replace:
        raise BadInput(
            say("A file of watches or of the log is added to what there is; --replace is for --kind all."),
            field="replace",
        )
    data = _read(args.file)
    progress = _show_progress if sys.stderr.isatty() else silent
    with opened(args, "file") as collection:
        if args.dry_run:
            return _report(try_csv(collection.store, data, args.kind, collection.who, progress=progress), args.file)
        try:
            found = import_csv(collection.store, data, args.kind, collection.who, progress=progress, then=_then)
        except Rejected as rejected:
            nothing = BadInput(say("Nothing of {file} was taken in.", file=args.file))
            raise Rejected([*rejected.problems, nothing]) from rejected
    if found.new:
        tell(
            say(
                "Taken in from {file}: new rows: {new}; known already: {known}. To take it back: going undo",
                file=args.file,
                new=len(found.new),
                known=found.known,
            )
        )
    else:
        tell(say("Nothing new in {file}; rows known already: {known}.", file=args.file, known=found.known))
    return 0


def _report(found: Findings, file: str) -> int:
    for problem in found.problems:
        tell(problem.sentence)
    tell(
        say(
            "{file}: new rows that would be taken in: {new}; known already: {known}; rows with a problem: {bad}. Nothing was changed.",
            file=file,
            new=len(found.new),
            known=found.known,
            bad=len({problem.line for problem in found.problems}),
        )
    )
    if found.problems and found.new:
        tell(say("A file is taken in as a whole or not at all: put the rows right first."))
    return BadInput.exit_code if found.problems else 0


def _read(file: str) -> bytes:
    if file == "-":
        return sys.stdin.buffer.read()
    try:
        return Path(file).read_bytes()
    except OSError as error:
        raise Unavailable(say("{file} can't be read: {why}.", file=file, why=error.strerror)) from error


def _then(store: Store, now: datetime, watch_uids: Collection[str]) -> None:
    catch_up(store, now, watch_uids, on_terminal())


def _show_progress(done: int, total: int) -> None:
    told = say("{done} of {total} rows read", done=done, total=total)
    end = "\r" if done < total else say("; working on what is new …") + "\n"
    sys.stderr.write(told + end)
    sys.stderr.flush()
