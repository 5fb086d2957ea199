"""What pages with pictures need: plotly's script from the installed package, under a name that tells its content."""

import gzip
import hashlib
import re
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path

from flask import Blueprint, Response, abort, request, url_for

from tracker.web.statics import FOR_EVER

pages = Blueprint("pictures", __name__)

UNNEEDED_STYLE = re.compile(rb'getElementById\("([0-9a-f]{40,})"\)\)\{var \w+=document\.createElement\("style"\)')


@lru_cache(maxsize=1)
def bundle() -> bytes:
    """Plotly's script; plotly itself, which takes a while to import, is only asked where it lies."""
    spec = find_spec("plotly")
    if spec is None or spec.origin is None:
        raise ModuleNotFoundError("plotly")
    return (Path(spec.origin).parent / "package_data" / "plotly.min.js").read_bytes()


@lru_cache(maxsize=1)
def digest() -> str:
    """The start of its hash."""
    return hashlib.sha256(bundle()).hexdigest()[:12]


@lru_cache(maxsize=1)
def unneeded_styles() -> str:
    """Names of style sheets, for maps, that the script lays into a page unless something there has their name.

    The content policy would refuse them, aloud on the browser's console.
    """
    return " ".join(name.decode() for name in UNNEEDED_STYLE.findall(bundle()))


@lru_cache(maxsize=1)
def packed_bundle() -> bytes:
    """Packed once: a third of its size."""
    return gzip.compress(bundle(), mtime=0)


@pages.get("/pictures/plotly-<name>.js")
def script(name: str) -> Response:
    """The script, packed for browsers that unpack it."""
    if name != digest():
        abort(404)
    packed = request.accept_encodings.quality("gzip") > 0
    answer = Response(packed_bundle() if packed else bundle(), mimetype="text/javascript")
    answer.headers["Cache-Control"] = FOR_EVER
    answer.headers["Vary"] = "Accept-Encoding"
    if packed:
        answer.headers["Content-Encoding"] = "gzip"
    return answer


def address() -> str:
    """Where a page finds the script."""
    return url_for("pictures.script", name=digest())
