from pathlib import Path

import pytest

from tracker.config import data_folder, example_folder


def test_the_folder_given_comes_before_going_data_and_that_before_the_users(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("GOING_DATA", "/somewhere")
    assert data_folder("/here") == Path("/here")
    assert data_folder(None) == Path("/somewhere")
    monkeypatch.delenv("GOING_DATA")
    assert data_folder(None).name == "going-barrel"


def test_the_example_never_lies_in_the_owners_folder(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("GOING_DATA", "/somewhere")
    assert example_folder(None).name == "going-barrel-example"
    assert example_folder("/here") == Path("/here")


def test_a_home_folder_may_be_written_short(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    assert data_folder("~/watches") == tmp_path / "watches"
