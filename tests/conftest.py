"""What many tests start from: an empty collection, its owner, a moment."""

import shutil
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import settings

from tracker.collection import open_collection, owner
from tracker.commands.base import Who
from tracker.store.store import Store

NOW = datetime(2026, 11, 25, 7, 25, tzinfo=UTC)

# A test of what is right never fails for a busy machine; what says nothing else tries fifty examples.
settings.register_profile("untimed", deadline=None, max_examples=50)
settings.load_profile("untimed")


@pytest.fixture
def now() -> datetime:
    return NOW


@pytest.fixture(scope="session")
def empty_collection(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a collection just begun: made once, since every schema step takes its time."""
    folder = tmp_path_factory.mktemp("empty")
    open_collection(folder, NOW).close()
    return folder


@pytest.fixture
def store(tmp_path: Path, empty_collection: Path) -> Iterator[Store]:
    shutil.copytree(empty_collection, tmp_path, dirs_exist_ok=True)
    opened = open_collection(tmp_path, NOW)
    yield opened
    opened.close()


@pytest.fixture
def who(store: Store) -> Who:
    return owner(store, "page", NOW)
