import pytest

from tracker.labelgrids import GRIDS, PAPERS, sheets


@pytest.mark.parametrize("name", GRIDS)
def test_every_label_lies_whole_on_its_paper_and_over_no_other(name: str) -> None:
    grid = GRIDS[name]
    wide, high = PAPERS[grid.paper]
    (sheet,) = sheets(grid, range(grid.count), 1)
    assert [thing for _, _, thing in sheet] == list(range(grid.count))
    assert min(x for x, _, _ in sheet) >= 0
    assert max(x for x, _, _ in sheet) + grid.width_mm <= wide + 1e-9
    assert max(y for _, y, _ in sheet) + grid.height_mm <= high + 1e-9
    assert grid.across_mm >= grid.width_mm
    assert grid.down_mm >= grid.height_mm


@pytest.mark.parametrize("name", GRIDS)
def test_the_margins_left_and_right_and_above_and_below_are_alike(name: str) -> None:
    """Common practice, no source: sheets are cut symmetrically, to a printer's exactness."""
    grid = GRIDS[name]
    wide, high = PAPERS[grid.paper]
    right = wide - grid.left_mm - (grid.columns - 1) * grid.across_mm - grid.width_mm
    below = high - grid.top_mm - (grid.rows - 1) * grid.down_mm - grid.height_mm
    assert right == pytest.approx(grid.left_mm, abs=0.1)
    assert below == pytest.approx(grid.top_mm, abs=0.1)


def test_they_are_laid_along_the_rows_from_the_first_that_is_left_and_onto_the_next_sheet() -> None:
    grid = GRIDS["a4-3x7"]
    first, second = sheets(grid, "abcd", 20)
    assert first == [(7.25 + 66.0, 15.15 + 6 * 38.1, "a"), (7.25 + 132.0, 15.15 + 6 * 38.1, "b")]
    assert second == [(7.25, 15.15, "c"), (73.25, 15.15, "d")]
    assert sheets(grid, "", 5) == []
