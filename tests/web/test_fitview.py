"""Which spring fits this drum, in words."""

import pytest

from tests.core.barrel.drums import barrel
from tracker.errors import BadInput
from tracker.web.fitview import AROUND, MOST_BYTES, listed, range_rows, sent


def test_the_nearest_of_the_range_is_marked_once() -> None:
    rows = range_rows(barrel(), hours_known=True)
    assert len(rows) <= 2 * AROUND + 1
    (nearest,) = [cell for row in rows for cell in row.cells if cell.nearest]
    assert float(nearest.barrel.thickness_mm) == pytest.approx(0.115)
    assert nearest.said.endswith(" h")


def test_hours_are_told_only_where_they_are_known() -> None:
    assert not any(cell.said.endswith(" h") for row in range_rows(barrel(), hours_known=False) for cell in row.cells)


def test_a_list_is_ranked_by_nearness_and_what_does_not_do_comes_last() -> None:
    data = b"name,spring\nfar,1.3 x 0.13 x 300\nhigh,1.6 x 0.115 x 350\nsame,1.3 x 0.115 x 350\nnear,1.3 x 0.11 x 360\n"
    found = listed(barrel(), data, hours_known=True)
    assert [row.name for row in found.rows] == ["same", "near", "far", "high"]
    assert (found.rows[0].off, found.rows[0].line) == ("0 %", 4)
    assert found.rows[-1].barrel is None
    assert found.rows[-1].why_not == ["It is 1.6 mm high, the strip in the barrel 1.3 mm."]


def test_a_file_goes_before_what_was_pasted_and_nothing_is_nothing() -> None:
    assert sent("pasted", b"file") == b"file"
    assert sent(" \n", b"") is None
    with pytest.raises(BadInput, match="too long"):
        sent("", b"x" * (MOST_BYTES + 1))
