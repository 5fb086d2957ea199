"""A furnished collection, made once and copied."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.api.house import Program, furnish
from tests.web.rounds import NOW
from tracker.collection import open_collection
from tracker.store.store import Store, prepare


@pytest.fixture(scope="session")
def furnished(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Its folder."""
    folder = tmp_path_factory.mktemp("furnished")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TZ", "Europe/Berlin")
        store = open_collection(folder, NOW)
    furnish(store)
    store.close()
    return folder


@pytest.fixture(autouse=True)
def no_waiting_for_the_disk(monkeypatch: pytest.MonkeyPatch) -> None:
    def unhurried(conn: object) -> None:
        prepare(conn)  # type: ignore[arg-type]  # a connection
        conn.execute("PRAGMA synchronous = OFF")  # type: ignore[attr-defined]

    monkeypatch.setattr("tracker.store.store.prepare", unhurried)


@pytest.fixture
def store(tmp_path: Path, furnished: Path) -> Iterator[Store]:
    """The collection, to be changed."""
    shutil.copytree(furnished, tmp_path, dirs_exist_ok=True)
    opened = open_collection(tmp_path, NOW)
    yield opened
    opened.close()


@pytest.fixture
def program(store: Store) -> Program:
    """A program of the owner's that may do all."""
    return Program(store)
