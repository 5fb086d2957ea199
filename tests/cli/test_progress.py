"""Progress on a terminal, and what could not be worked out."""

from pathlib import Path

import pytest

from tests.cli.conftest import NOW, Going
from tracker import workedout
from tracker.collection import open_collection
from tracker.store.estimates import forget_estimates


def _fails(*_: object) -> None:
    raise ZeroDivisionError


def _forgotten(folder: Path) -> None:
    store = open_collection(folder, NOW)
    with store.change() as db:
        forget_estimates(db)
    store.close()


def test_a_collection_worked_out_from_nothing_tells_how_far_it_is(
    going: Going, monkeypatch: pytest.MonkeyPatch
) -> None:
    going("add", *(f"Watch {number}" for number in range(5)))
    monkeypatch.setattr("sys.stderr.isatty", lambda: True)
    code, said, told = going("recompute")
    assert (code, said) == (0, "Watches worked out anew: 5.\n")
    assert told == "".join(f"Worked out: {done} of 5 watches\r" for done in range(5)) + "Worked out: 5 of 5 watches\n"
    assert going("list")[2] == ""


def test_without_a_terminal_nothing_is_told_meanwhile(going: Going) -> None:
    going("add", *(f"Watch {number}" for number in range(5)))
    assert going("recompute")[2] == ""


def test_a_list_works_out_first_what_is_not_there(three: Going, folder: Path) -> None:
    before = three("list")
    _forgotten(folder)
    assert three("list") == before


def test_what_could_not_be_worked_out_is_told_beside_the_list(three: Going, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(workedout, "work_out_estimate", _fails)
    three("add", "Bar buoy")
    code, said, told = three("list")
    assert code == 0
    assert "Night ferry" in said
    assert "Bar buoy" not in said
    assert told.endswith("going: The reserve of Bar buoy could not be worked out; its log is kept.\n")
