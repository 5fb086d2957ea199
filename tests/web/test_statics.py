"""Styles, scripts and icons: packed, kept by browsers for ever, and under another address once any changes."""

import gzip

import pytest

from tests.web.rounds import client
from tracker.store.store import Store
from tracker.web import statics


def test_a_file_is_sent_packed_to_whoever_unpacks_it(store: Store) -> None:
    path = f"/static/{statics.digest()}/going.css"
    plain, packed = client(store).get(path), client(store).get(path, headers={"Accept-Encoding": "gzip"})
    assert gzip.decompress(packed.data) == plain.data == (statics.FOLDER / "going.css").read_bytes()
    assert (packed.headers["Content-Encoding"], packed.headers["Vary"]) == ("gzip", "Accept-Encoding")
    assert "immutable" in plain.headers["Cache-Control"]


@pytest.mark.parametrize("path", [f"/static/{statics.digest()}/app.py", "/static/0123456789ab/going.css"])
def test_there_is_none_of_another_name_or_version(store: Store, path: str) -> None:
    assert client(store).get(path).status_code == 404


def test_another_content_has_another_address(monkeypatch: pytest.MonkeyPatch) -> None:
    before = statics.digest()
    changed = {**statics.files(), "kept.js": statics.Static("text/javascript", b"another", None)}
    monkeypatch.setattr(statics, "files", lambda: changed)
    assert statics.digest.__wrapped__() != before


def test_scripts_name_each_other_by_relative_address_and_are_modules() -> None:
    types = {name: file.media_type for name, file in statics.files().items()}
    assert {types[name] for name in types if name.endswith(".js")} == {"text/javascript"}
    assert {types[name] for name in types if name.endswith(".png")} == {"image/png"}
