"""The way back: an archive is unpacked beside the collection, checked and upgraded there, and only then put in its place."""

import os
import tempfile
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from zipfile import BadZipFile, ZipFile

from tracker.backup.manifest import GOING, SENSORS, Entry, Manifest, copied, read_manifest, strangers, wrong
from tracker.backup.place import bring_up_to_date, check_place, put_in_place
from tracker.errors import BadInput, Unavailable
from tracker.store.copies import flaws, row_counts
from tracker.store.migrations import names
from tracker.store.sensed.migrations import SENSED
from tracker.words import say

UNPACKED = ".going-restoring-"


@dataclass(frozen=True, slots=True)
class Restored:
    """What was restored; `aside` is where the former collection lies, None where there was none."""

    manifest: Manifest
    aside: Path | None


def restore(file: Path, folder: Path, now: datetime, *, replace: bool = False) -> Restored:
    """Put the collection of an archive into a folder. What is there is never written over: it is kept aside, and only if asked.

    Raises:
        BadInput: the file is no backup, or is damaged, or names what may not be in one.
        Conflict: there is a collection, and `replace` does not say that it may be put aside; or it is in use.
        Unavailable: a newer program made it, or the disk refuses. The folder is as it was in each case.
    """
    check_place(folder, replace=replace)
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=UNPACKED, dir=folder.parent) as place:
            fresh = Path(place) / "collection"
            manifest = _unpack(file, fresh)
            bring_up_to_date(fresh, now)
            return Restored(manifest, put_in_place(fresh, folder, now))
    except OSError as error:
        raise Unavailable(
            say("Nothing was restored: {why}: {file}.", why=error.strerror, file=error.filename or folder)
        ) from error


def _unpack(file: Path, fresh: Path) -> Manifest:
    try:
        with ZipFile(file) as archive:
            manifest = read_manifest(archive)
            if manifest is None:
                raise BadInput(say("{file} is not a backup of this program; nothing was restored.", file=file))
            _refuse(file, archive, manifest)
            for each in manifest.entries:
                _unpack_one(archive, each, fresh)
    except FileNotFoundError as error:
        raise BadInput(say("There is no file {file}.", file=file)) from error
    except BadZipFile as error:
        raise _broken(file, say("it is no whole archive")) from error
    _check_unpacked(file, fresh, manifest)
    return manifest


def _refuse(file: Path, archive: ZipFile, manifest: Manifest) -> None:
    if found := strangers(archive, manifest):
        raise BadInput(
            say("{file} holds what no backup holds, “{name}”; nothing was restored.", file=file, name=found[0])
        )
    if GOING not in {each.name for each in manifest.entries}:
        raise _broken(file, say("{name} is not in it", name=GOING))
    for name, known in ((GOING, names()), (SENSORS, names(SENSED))):
        if newer := sorted({*manifest.schema.get(name, ())} - {*known}):
            raise Unavailable(
                say(
                    "{file} was made by a newer Going Barrel (it knows “{step}”); update the program to restore it.",
                    file=file,
                    step=newer[-1],
                )
            )
    if found := wrong(archive, manifest):
        raise _broken(file, say("{name} in it is not as it was", name=found[0]))


def _broken(file: Path, why: str) -> BadInput:
    return BadInput(say("{file} is damaged, {why}; nothing was restored.", file=file, why=why))


def _unpack_one(archive: ZipFile, entry: Entry, fresh: Path) -> None:
    target = fresh / entry.name
    target.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    with (
        archive.open(entry.name) as source,
        os.fdopen(os.open(target, os.O_WRONLY | os.O_CREAT, 0o600), "wb") as written,
    ):
        copied(source, written, entry.size)
        written.flush()
        os.fsync(written.fileno())


def _check_unpacked(file: Path, fresh: Path, manifest: Manifest) -> None:
    for name, rows in manifest.rows.items():
        if flaws(fresh / name) or row_counts(fresh / name) != rows:
            raise _broken(file, say("{name} in it is not as it was", name=name))
