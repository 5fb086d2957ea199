"""Backing up, and the way back."""

from argparse import Namespace
from contextlib import closing
from pathlib import Path

from tracker import clock
from tracker.backup.archive import Written, write
from tracker.backup.names import folder_of, name_of
from tracker.backup.restoring import restore as put_back
from tracker.cli.opened import tell
from tracker.collection import open_collection, preferences
from tracker.config import data_folder
from tracker.phrases import megabytes
from tracker.store.moments import from_text
from tracker.words import say


def backup(args: Namespace) -> None:
    """Write an archive."""
    data, now = data_folder(args.data), clock.now()
    file = Path(args.file).expanduser() if args.file else None
    if file is None or file.is_dir():
        file = (file or _usual_folder(data)) / name_of(now)
    _tell_written(write(data, file, now, replace=args.replace))


def _usual_folder(data: Path) -> Path:
    if not data.exists():
        return folder_of(data, "")
    with closing(open_collection(data, clock.now())) as store:
        return folder_of(data, preferences(store).values.backup_folder)


def _tell_written(done: Written) -> None:
    rows = done.manifest.rows["going.db"]
    tell(
        say(
            "Backed up and read again: {file}, {size}; watches: {watches}, changes: {changes}, files: {files}.",
            file=done.file,
            size=megabytes(done.size),
            watches=rows["watch"],
            changes=rows["command_log"],
            files=sum(each.name.startswith("files/") for each in done.manifest.entries),
        )
    )
    if done.manifest.missing:
        tell(
            say(
                "Photographs or documents that are named and no longer there: {n}. going check tells which.",
                n=len(done.manifest.missing),
            )
        )
    tell(say("It holds the addresses of your channels: keep it as private as the collection."))


def restore(args: Namespace) -> None:
    """Put the collection of an archive in its place."""
    data = data_folder(args.data)
    done = put_back(Path(args.file).expanduser(), data, clock.now(), replace=args.replace)
    made = f"{from_text(done.manifest.made_utc):%Y-%m-%d %H:%M} UTC"
    tell(say("Restored into {folder}: the collection as it was on {made}.", folder=data, made=made))
    if done.aside is not None:
        tell(say("What was there before is in {aside}.", aside=done.aside))
    tell(
        say(
            "Keys are no part of a backup: a password of the broker is to be written in again, and the calendar gets a new address."
        )
    )
