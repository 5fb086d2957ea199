"""What lies in an archive: its list of contents, by which it is checked after writing and before anything is restored."""

import hashlib
import json
import re
import zlib
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from typing import IO, Any
from zipfile import BadZipFile, ZipFile

NAME = "manifest.json"
FORM = "Going Barrel backup"
FORM_VERSION = 1
GOING, SENSORS, CONFIG = "going.db", "sensors.db", "going.toml"
MAY_BE_THERE = re.compile(r"going\.db|sensors\.db|going\.toml|files/[0-9a-f]{64}")
"""All names an archive can hold; none of them leads out of a folder."""
CHUNK = 1 << 20
MOST_MANIFEST_BYTES = 50_000_000


@dataclass(frozen=True, slots=True)
class Entry:
    """A file of the archive: its size in bytes and its SHA-256."""

    name: str
    size: int
    sha256: str


@dataclass(frozen=True, slots=True)
class Manifest:
    """The list of contents.

    `schema` are the migrations each database has had, `rows` how many rows each of its tables holds; `missing` are the
    hashes of files that rows name and that were not there when the backup was made.
    """

    made_utc: str
    program: str
    entries: tuple[Entry, ...]
    schema: Mapping[str, list[str]] = field(default_factory=dict)
    rows: Mapping[str, Mapping[str, int]] = field(default_factory=dict)
    missing: tuple[str, ...] = ()

    def to_json(self) -> str:
        """As it stands in the archive."""
        return json.dumps({"form": FORM, "form_version": FORM_VERSION, **asdict(self)}, indent=1, ensure_ascii=False)


def read_manifest(archive: ZipFile) -> Manifest | None:
    """The list of contents of an archive; None where it has none of ours, or a name in it twice, or one not listed.

    Raises:
        BadZipFile: the archive is damaged.
    """
    try:
        if archive.getinfo(NAME).file_size > MOST_MANIFEST_BYTES:
            return None
        told: dict[str, Any] = json.loads(archive.read(NAME))
        if (told.pop("form"), told.pop("form_version")) != (FORM, FORM_VERSION):
            return None
        entries = tuple(
            Entry(str(each["name"]), int(each["size"]), str(each["sha256"])) for each in told.pop("entries")
        )
        return Manifest(entries=entries, missing=tuple(told.pop("missing")), **told)
    except (KeyError, TypeError, ValueError, AttributeError):
        return None


def strangers(archive: ZipFile, manifest: Manifest) -> list[str]:
    """Names in the archive that may not be there, that are there twice, or that are listed and not there."""
    there, listed = [name for name in archive.namelist() if name != NAME], [each.name for each in manifest.entries]
    foreign = [name for name in {*there, *listed} if not MAY_BE_THERE.fullmatch(name)]
    doubled = [name for name in {*there} if there.count(name) > 1] if len({*there}) != len(there) else []
    return sorted({*foreign, *doubled, *({*there} ^ {*listed})})


def wrong(archive: ZipFile, manifest: Manifest) -> list[str]:
    """The names of files that are not what the list of contents says they are."""
    return [each.name for each in manifest.entries if not _as_listed(archive, each)]


def _as_listed(archive: ZipFile, entry: Entry) -> bool:
    try:
        with archive.open(entry.name) as source:
            return copied(source, None, entry.size, entry.name) == entry
    except (BadZipFile, zlib.error, EOFError, OSError, KeyError, NotImplementedError, RuntimeError):
        return False


def copied(source: IO[bytes], target: IO[bytes] | None, most: int | None = None, name: str = "") -> Entry:
    """Read a file to its end, or little further than `most` bytes, and to a target if one is given; tells what it was."""
    hashed, size = hashlib.sha256(), 0
    while chunk := source.read(CHUNK):
        size += len(chunk)
        hashed.update(chunk)
        if target is not None:
            target.write(chunk)
        if most is not None and size > most:
            break
    return Entry(name, size, hashed.hexdigest())
