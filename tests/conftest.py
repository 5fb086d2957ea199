"""What many tests start from: an empty collection, its owner, a moment."""

import shutil
from collections.abc import Iterator
from datetime import UTC, datetime
from functools import cache
from pathlib import Path

import pytest
from argon2 import PasswordHasher
from hypothesis import settings

from tracker import passwords
from tracker.collection import open_collection, owner
from tracker.commands.base import Who
from tracker.commands.door import submit
from tracker.commands.sensor import AddSensor
from tracker.example.fill import fill
from tracker.store.store import Store

NOW = datetime(2026, 11, 25, 7, 25, tzinfo=UTC)

# A test of what is right never fails for a busy machine; what says nothing else tries fifty examples.
settings.register_profile("untimed", deadline=None, max_examples=50)
settings.load_profile("untimed")


@pytest.fixture
def now() -> datetime:
    return NOW


@pytest.fixture(autouse=True)
def passwords_soon_hashed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Slow on purpose is for real passwords; what the program takes is asserted in tests/test_passwords.py."""
    monkeypatch.setattr(passwords, "_hasher", _soon)


@cache
def _soon() -> PasswordHasher:
    return PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)


@pytest.fixture(scope="session")
def starting_point(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a collection just begun: made once, since every schema step takes its time."""
    folder = tmp_path_factory.mktemp("empty")
    open_collection(folder, NOW).close()
    return folder


@pytest.fixture(scope="session")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the example collection, with a sensor beside its own: filled once, to be copied."""
    folder = tmp_path_factory.mktemp("filled")
    store = open_collection(folder, NOW)
    fill(store, NOW)
    submit(store, [AddSensor(name="tray 1", topic="house/tray/1", expected_s=60)], owner(store, "page", NOW))
    store.close()
    return folder


@pytest.fixture(scope="module")
def example(filled: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    """The example collection, of one module's own."""
    folder = tmp_path_factory.mktemp("example")
    shutil.copytree(filled, folder, dirs_exist_ok=True)
    store = open_collection(folder, NOW)
    yield store
    store.close()


@pytest.fixture
def store(tmp_path: Path, starting_point: Path) -> Iterator[Store]:
    shutil.copytree(starting_point, tmp_path, dirs_exist_ok=True)
    opened = open_collection(tmp_path, NOW)
    yield opened
    opened.close()


@pytest.fixture
def who(store: Store) -> Who:
    return owner(store, "page", NOW)
