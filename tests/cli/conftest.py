"""A command line on a collection of its own, at a moment of its own."""

import shutil
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tracker import clock
from tracker.cli import main
from tracker.collection import open_collection, owner
from tracker.commands.door import submit
from tracker.commands.settings import ChangeSettings

NOW = datetime(2026, 11, 25, 7, 25, tzinfo=UTC)
"""08:25 in Berlin, a Wednesday."""

Going = Callable[..., tuple[int, str, str]]


@pytest.fixture
def folder(tmp_path: Path, starting_point: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty collection in Berlin, named by GOING_DATA."""
    monkeypatch.setenv("GOING_DATA", str(tmp_path))
    monkeypatch.setattr(clock, "now", lambda: NOW)
    shutil.copytree(starting_point, tmp_path, dirs_exist_ok=True)
    store = open_collection(tmp_path, NOW)
    submit(store, [ChangeSettings(zone="Europe/Berlin")], owner(store, "example", NOW))
    store.close()
    return tmp_path


@pytest.fixture
def going(folder: Path, capfd: pytest.CaptureFixture[str]) -> Going:
    """Call `going` with these words: exit code, what it said, what it complained of."""
    assert folder.is_dir()

    def call(*words: str) -> tuple[int, str, str]:
        code = main(words)
        said = capfd.readouterr()
        return code, said.out, said.err

    return call


@pytest.fixture
def three(going: Going) -> Going:
    """As `going`, with three watches in the collection."""
    going("add", "Night ferry", "Workshop spare", "Workshop clock")
    return going
