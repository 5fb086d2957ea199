"""Files that are kept: what is taken for a photograph or a document, and where it lies under the hash of its content."""

import hashlib
import os
import secrets
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from tracker import plainpicture
from tracker.errors import BadInput, Unavailable
from tracker.words import say

MediaType = Literal["image/jpeg", "image/png", "image/webp", "application/pdf"]
PDF: MediaType = "application/pdf"

FOLDER = "files"
MEGABYTE = 1_000_000
MOST_MB = 12
MOST_BYTES = MOST_MB * MEGABYTE
"""A phone's photograph has 2 to 8 megabytes; common practice, no source."""
HEIF_BRANDS = (b"heic", b"heix", b"hevc", b"mif1")
"""By these a photograph of ISO/IEC 23008-12 says what it is; some phones make them unless told otherwise."""


@dataclass(frozen=True, slots=True)
class Photograph:
    """A picture or document that can be kept: its bytes, their SHA-256 in hexadecimal digits, its media type."""

    data: bytes
    sha256: str
    media_type: MediaType


@dataclass(frozen=True, slots=True)
class Portrait:
    """A photograph of the watch itself, both as JPEG: as it is shown, and small as lists show it."""

    large: Photograph
    small: Photograph


def photograph(data: bytes) -> Photograph:
    """The picture in these bytes as it is kept (`plainpicture`), known by the first of them alone: JPEG (ISO/IEC 10918-1), PNG (RFC 2083) or WebP (RFC 9649).

    Raises:
        BadInput: none of these, too much, or broken; its field is `photo`.
    """
    _check_picture(data)
    return _kept(*plainpicture.plain(data, field="photo"))


def portrait(data: bytes) -> Portrait:
    """As `photograph`, of the watch itself.

    Raises:
        BadInput: as there.
    """
    _check_picture(data)
    large, small = plainpicture.plain_and_small(data, field="photo")
    return Portrait(_kept(large, "image/jpeg"), _kept(small, "image/jpeg"))


def _kept(data: bytes, media_type: MediaType) -> Photograph:
    return Photograph(data, hashlib.sha256(data).hexdigest(), media_type)


def _check_picture(data: bytes) -> None:
    if len(data) > MOST_BYTES:
        raise BadInput(
            say("This photograph is too large."),
            field="photo",
            accepted=say("At most {n} megabytes are taken.", n=MOST_MB),
        )
    if data[4:8] == b"ftyp" and data[8:12] in HEIF_BRANDS:
        raise BadInput(
            say("This photograph is in the form HEIC, which can't be read here."),
            field="photo",
            accepted=say("Have the phone send or save it as JPEG."),
        )
    if _media_type(data) in {None, PDF}:
        raise BadInput(
            say("This file is not a photograph that can be shown."),
            field="photo",
            accepted=say("JPEG, PNG and WebP are taken."),
        )


def attachable(data: bytes) -> Photograph:
    """As `photograph`, and a PDF (ISO 32000-1, 7.5.2) too, which is kept as it is; the name of a file tells nothing.

    Raises:
        BadInput: none of these, too much, or broken; its field is `file`.
    """
    if len(data) > MOST_BYTES:
        raise BadInput(
            say("This file is too large."), field="file", accepted=say("At most {n} megabytes are taken.", n=MOST_MB)
        )
    media_type = _media_type(data)
    if media_type is None:
        raise BadInput(
            say("This file is neither a picture nor a PDF by what it holds."),
            field="file",
            accepted=say("JPEG, PNG, WebP and PDF are taken."),
        )
    return _kept(data, PDF) if media_type == PDF else _kept(*plainpicture.plain(data, field="file"))


def _media_type(data: bytes) -> MediaType | None:
    if data.startswith(b"\xff\xd8\xff"):
        return "image/jpeg"
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        return "image/png"
    if data.startswith(b"RIFF") and data[8:12] == b"WEBP":
        return "image/webp"
    if data.startswith(b"%PDF-"):
        return PDF
    return None


def place(folder: Path, sha256: str) -> Path:
    """Where the picture of this hash lies in a collection's folder."""
    return folder / FOLDER / sha256


def keep(folder: Path, found: Photograph) -> None:
    """Write it, once, so that it is whole and on the disk before any row names it.

    Raises:
        Unavailable: the disk refuses.
    """
    file = place(folder, found.sha256)
    # A part of its own for each writer: two may keep the same picture at once.
    part = file.with_name(f"{file.name}.{secrets.token_hex(4)}.part")
    try:
        file.parent.mkdir(exist_ok=True)
        if file.exists():
            return
        with part.open("xb") as written:
            written.write(found.data)
            written.flush()
            os.fsync(written.fileno())
        part.replace(file)
        _sync(file.parent)
        _sync(folder)
    except OSError as error:
        raise Unavailable(
            say("The file can't be kept in {folder}: {why}.", folder=file.parent, why=error.strerror)
        ) from error


def _sync(folder: Path) -> None:
    """A new name is on the disk only once its folder is."""
    opened = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(opened)
    finally:
        os.close(opened)
