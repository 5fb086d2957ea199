"""A template is compiled once, by whichever server comes first; where nothing can be kept pages are served all the same."""

import errno
import re
import tempfile
from pathlib import Path
from typing import Any

import pytest
from jinja2 import Environment

from tests.web.rounds import NOW
from tracker.store.store import Store
from tracker.web.app import create_app


@pytest.fixture
def kept_in(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "temporary"
    folder.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(folder))
    return folder


def _page(store: Store) -> str:
    answer = create_app(store, now=lambda: NOW).test_client().get("/")
    assert answer.status_code == 200
    # Keys and tokens are others each time.
    return re.sub(r'="[^"]{20,}"', "", answer.text)


def _compiled(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    names = list[str]()
    plainly = Environment.compile

    def counted(self: Environment, source: Any, name: Any = None, *rest: Any, **more: Any) -> Any:
        names.append(name)
        return plainly(self, source, name, *rest, **more)

    monkeypatch.setattr(Environment, "compile", counted)
    return names


def test_a_second_server_compiles_nothing(store: Store, kept_in: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    names = _compiled(monkeypatch)
    first, done = _page(store), len(names)
    assert "round.html" in names
    assert _page(store) == first
    assert len(names) == done
    assert all(each.stat().st_mode & 0o777 == 0o700 for each in kept_in.iterdir())


@pytest.mark.parametrize("refusal", [errno.ENOSPC, errno.EROFS, errno.EACCES])
def test_where_there_is_no_room_the_page_is_served(
    refusal: int, store: Store, kept_in: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(*_: Any, **__: Any) -> None:
        raise OSError(refusal, "no")

    monkeypatch.setattr("jinja2.bccache.tempfile.NamedTemporaryFile", refused)
    names = _compiled(monkeypatch)
    assert _page(store)
    assert "round.html" in names
    assert not [each for each in kept_in.rglob("*") if each.is_file()]


def test_a_folder_of_someone_elses_is_not_taken(store: Store, kept_in: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("jinja2.bccache.os.getuid", lambda: 4242)
    names = _compiled(monkeypatch)
    assert _page(store)
    done = len(names)
    _page(store)
    assert len(names) == 2 * done
    assert not [each for each in kept_in.rglob("*") if each.is_file()]
