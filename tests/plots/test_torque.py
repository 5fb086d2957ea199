"""The picture of torque over a run."""

import pytest

from tests.core.barrel.drums import barrel
from tests.plots.drawings import valid
from tracker.core.barrel.entered import Barrel
from tracker.core.barrel.sums import sums
from tracker.plots.torque import Run, torque


def _run(name: str, each: Barrel) -> Run:
    return Run(name, each, sums(each))


PRESENT = _run("As it is", barrel())
LONGER = _run("Series", barrel(barrels=2))
WEAK = _run("Weak", barrel(thickness_mm=0.05, least_torque_nmm=50))


def test_a_line_goes_from_full_wind_to_the_stop() -> None:
    drawn = torque([PRESENT, LONGER], in_hours=True)
    valid(drawn.figure)
    first, second = drawn.figure["data"]
    assert first["x"] == pytest.approx([0, float(PRESENT.found.reserve_h)])
    assert first["y"] == pytest.approx([float(PRESENT.found.torque_full_nmm), float(PRESENT.found.torque_end_nmm)])
    assert second["x"][1] == pytest.approx(2 * first["x"][1])
    assert second["y"] == pytest.approx(first["y"])
    assert first["line"]["dash"] != second["line"]["dash"]


def test_without_hours_it_runs_over_turns() -> None:
    (first,) = torque([PRESENT], in_hours=False).figure["data"]
    assert first["x"][1] == pytest.approx(float(PRESENT.found.usable_turns))


def test_lines_on_each_other_are_drawn_once_with_all_their_numbers() -> None:
    drawn = torque([PRESENT, LONGER, PRESENT], in_hours=True)
    assert len(drawn.figure["data"]) == 2
    assert {each["text"] for each in drawn.figure["layout"]["annotations"]} == {"1, 3", "2"}
    assert [sign for sign, _ in drawn.key] == ["1", "2", "3"]


def test_a_barrel_that_does_not_go_has_no_line_and_its_sentence_says_so() -> None:
    drawn = torque([WEAK], in_hours=True)
    valid(drawn.figure)
    assert drawn.figure["data"] == []
    assert drawn.sentence.endswith("and does not go on it.")


def test_the_table_holds_the_torque_over_the_run() -> None:
    (table,) = torque([PRESENT, LONGER], in_hours=True).tables
    assert [row[0] for row in table.rows] == ["1 As it is", "2 Series"]
    assert table.rows[0][1] == f"{float(PRESENT.found.torque_full_nmm):.2f} N mm"
    assert table.rows[0][-1] == f"{float(PRESENT.found.torque_end_nmm):.2f} N mm"
