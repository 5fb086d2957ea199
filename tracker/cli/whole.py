"""All of a collection as plain files, and back."""

from argparse import Namespace
from pathlib import Path

from tracker import clock
from tracker.cli.opened import tell
from tracker.config import data_folder
from tracker.errors import BadInput
from tracker.transfer import arriving, leaving
from tracker.words import say


def export(args: Namespace) -> None:
    """Write all into a folder."""
    if args.file in {None, "-"}:
        raise BadInput(say("All of a collection goes into a folder. Name one."), field="file")
    left = leaving.write(data_folder(args.data), Path(args.file).expanduser(), clock.now(), as_json=args.json)
    told = say(
        "Written: {file}; watches: {watches}, changes: {changes}, files: {files}.",
        file=args.file,
        watches=left.rows["watch"],
        changes=left.rows["command_log"],
        files=left.files,
    )
    tell(told)
    _tell_missing(len(left.missing))
    tell(
        say(
            "Left out: passwords, log-ins, tokens, channels and their addresses, what is worked out. Values, serials and notes are in it: keep it private."
        )
    )


def bring_in(args: Namespace) -> None:
    """Bring all in from a folder."""
    if args.dry_run:
        raise BadInput(
            say("All of a collection is looked through before it is put in its place; --dry-run is for a file."),
            field="dry_run",
        )
    data = data_folder(args.data)
    came = arriving.read(Path(args.file).expanduser(), data, clock.now(), replace=args.replace)
    told = say(
        "Brought in: {folder}; watches: {watches}, changes: {changes}, files: {files}.",
        folder=data,
        watches=came.rows["watch"],
        changes=came.rows["command_log"],
        files=came.files,
    )
    tell(told)
    _tell_missing(len(came.missing))
    if came.aside is not None:
        tell(say("What was there is kept in {folder}.", folder=came.aside))
    tell(
        say(
            "Set anew what did not travel: passwords, channels, tokens; reserves are worked out as the pages ask for them."
        )
    )


def _tell_missing(count: int) -> None:
    if count:
        tell(say("Photographs or documents that are named and no longer there: {n}. going check tells which.", n=count))
