"""Writing a backup: copies at one moment, checked, put into one archive, read again, and only then given its name."""

import io
import os
import shutil
import tempfile
from dataclasses import dataclass
from datetime import datetime
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo

from tracker.backup.config import without_secrets
from tracker.backup.manifest import (
    CONFIG,
    GOING,
    NAME,
    SENSORS,
    Entry,
    Manifest,
    copied,
    read_manifest,
    strangers,
    wrong,
)
from tracker.errors import Conflict, Unavailable
from tracker.photofile import FOLDER
from tracker.store.copies import copy_whole, flaws, named_files, row_counts, schema_steps
from tracker.store.moments import to_text
from tracker.words import say

WORKING = ".going-backup-"
"""How the folder begins in which a backup is made; one left by a kill is swept away by the next."""


@dataclass(frozen=True, slots=True)
class Written:
    """A backup that was made: its file, its size in bytes, its list of contents."""

    file: Path
    size: int
    manifest: Manifest


def write(folder: Path, file: Path, now: datetime, *, replace: bool = False) -> Written:
    """Back up the collection in a folder while it may be in use.

    Raises:
        Conflict: a file of that name is there, and `replace` does not say that it may go.
        Unavailable: there is no collection, it is damaged, or the disk refuses; no file of that name is left.
    """
    if not (folder / GOING).exists():
        raise Unavailable(say("There is no collection in {folder}.", folder=folder))
    if file.exists() and not replace:
        raise _there_already(file)
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        sweep(file.parent)
        with tempfile.TemporaryDirectory(prefix=WORKING, dir=file.parent) as place:
            part = Path(place) / "archive.zip"
            manifest = _write_archive(folder, Path(place), part, now)
            _read_again(part, manifest)
            _give_name(part, file, replace=replace)
    except OSError as error:
        raise Unavailable(
            say("No backup was made: {file} can't be written: {why}.", file=file, why=error.strerror)
        ) from error
    return Written(file, file.stat().st_size, manifest)


def sweep(folder: Path) -> None:
    """Take away what a backup that was killed half way has left; one still being made is let alone for a day."""
    for left in folder.glob(f"{WORKING}*"):
        newest = max((each.stat().st_mtime for each in [left, *left.glob("*")]), default=0.0)
        if newest < folder.stat().st_mtime - 86_400:
            shutil.rmtree(left, ignore_errors=True)


def _there_already(file: Path) -> Conflict:
    return Conflict(
        say("{file} is there already and was left alone. Choose another name, or say --replace.", file=file)
    )


def _write_archive(folder: Path, place: Path, part: Path, now: datetime) -> Manifest:
    databases = [name for name in (GOING, SENSORS) if (folder / name).exists()]
    for name in databases:
        _copy_checked(folder / name, place / name)
    pictures, missing = _pictures(folder, place / GOING)
    sources = [(name, place / name) for name in databases] + [(f"{FOLDER}/{each.name}", each) for each in pictures]
    with os.fdopen(os.open(part, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600), "w+b") as written:
        with ZipFile(written, "w", ZIP_DEFLATED) as archive:
            entries = [_add(archive, name, source) for name, source in sources]
            entries += _add_config(archive, folder)
            manifest = Manifest(
                made_utc=to_text(now),
                program=_program(),
                entries=tuple(entries),
                schema={name: schema_steps(place / name) for name in databases},
                rows={name: row_counts(place / name) for name in databases},
                missing=tuple(missing),
            )
            archive.writestr(NAME, manifest.to_json())
        written.flush()
        os.fsync(written.fileno())
    return manifest


def _copy_checked(source: Path, copy: Path) -> None:
    why = copy_whole(source, copy)
    if why is None and flaws(copy):
        why = say("the file is damaged")
    if why is not None:
        raise Unavailable(say("No backup was made: {file} can't be copied: {why}.", file=source.name, why=why))


def _pictures(folder: Path, database: Path) -> tuple[list[Path], list[str]]:
    """The files that rows of the copy name: those that are there, and the hashes of those that are not."""
    named = sorted(named_files(database))
    files = [folder / FOLDER / each for each in named]
    return [file for file in files if file.is_file()], [
        each for each, file in zip(named, files, strict=True) if not file.is_file()
    ]


def _add(archive: ZipFile, name: str, source: Path) -> Entry:
    told = ZipInfo(name)
    # Pictures are packed already.
    told.compress_type = ZIP_STORED if name.startswith(FOLDER) else ZIP_DEFLATED
    told.external_attr = 0o600 << 16
    with source.open("rb") as read, archive.open(told, "w", force_zip64=True) as target:
        return copied(read, target, name=name)


def _add_config(archive: ZipFile, folder: Path) -> list[Entry]:
    """going.toml without what is secret in it."""
    text = without_secrets(folder / CONFIG)
    if text is None:
        return []
    archive.writestr(CONFIG, text)
    return [copied(io.BytesIO(text.encode()), None, name=CONFIG)]


def _program() -> str:
    try:
        return version("going-barrel")
    except PackageNotFoundError:
        return ""


def _read_again(part: Path, manifest: Manifest) -> None:
    with ZipFile(part) as archive:
        sound = read_manifest(archive) is not None and not strangers(archive, manifest) and not wrong(archive, manifest)
    if not sound:
        raise Unavailable(say("No backup was made: what was written reads otherwise. The disk may be failing."))


def _give_name(part: Path, file: Path, *, replace: bool) -> None:
    """Under its name it stands whole or not at all, and takes no other's place unasked."""
    if replace:
        part.replace(file)
    else:
        try:
            os.link(part, file)
        except FileExistsError as error:
            raise _there_already(file) from error
        except OSError:
            # Sticks and shares without links: nobody else writes there in this moment.
            part.rename(file)
    opened = os.open(file.parent, os.O_RDONLY)
    try:
        os.fsync(opened)
    finally:
        os.close(opened)
