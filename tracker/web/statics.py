"""Our own styles, scripts and icons, held ready and packed, under an address that changes when any of them does."""

import gzip
import hashlib
import mimetypes
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from flask import Flask, Response, abort, request

FOLDER = Path(__file__).parent / "static"
FOR_EVER = "public, max-age=31536000, immutable"
"""What an address may be kept for that names its content."""
TYPES = {".js": "text/javascript", ".svg": "image/svg+xml", ".css": "text/css"}


@dataclass(frozen=True, slots=True)
class Static:
    """A file as it is sent: its media type, its bytes and, where that is smaller, its bytes packed by gzip."""

    media_type: str
    plain: bytes
    packed: bytes | None


@lru_cache(maxsize=1)
def files() -> Mapping[str, Static]:
    """Every file by its name. What is not in this table has no address."""
    return {path.name: _read(path) for path in sorted(FOLDER.iterdir())}


@lru_cache(maxsize=1)
def digest() -> str:
    """The start of one hash over all of them: scripts name each other by relative address and so stay of one version."""
    found = hashlib.sha256()
    for name, file in files().items():
        found.update(name.encode() + b"\0" + hashlib.sha256(file.plain).digest())
    return found.hexdigest()[:12]


def serve(app: Flask) -> None:
    """Answer for them under the endpoint `static`."""
    app.add_url_rule(f"/static/{digest()}/<filename>", endpoint="static", view_func=_file)


def _file(filename: str) -> Response:
    file = files().get(filename) or abort(404)
    packed = file.packed if request.accept_encodings.quality("gzip") > 0 else None
    answer = Response(packed or file.plain, mimetype=file.media_type)
    answer.headers["Cache-Control"] = FOR_EVER
    answer.headers["Vary"] = "Accept-Encoding"
    if packed:
        answer.headers["Content-Encoding"] = "gzip"
    return answer


def _read(path: Path) -> Static:
    plain = path.read_bytes()
    packed = gzip.compress(plain, mtime=0)
    media_type = TYPES.get(path.suffix) or mimetypes.guess_type(path.name)[0] or "application/octet-stream"
    return Static(media_type, plain, packed if len(packed) < len(plain) else None)
