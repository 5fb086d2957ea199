"""The owner's own list of springs."""

import pytest

from tracker.core.barrel.line import Strip
from tracker.csvfile.springs import read_springs
from tracker.errors import Rejected


def test_sizes_stand_in_columns_or_in_one_line() -> None:
    text = "name;spring;height_mm;thickness_mm;length_mm;barrel_mm\nA;;1,3;0,115;350;11\nB;1.2 × 0.1 × 300 × 10;;;;\nC;;0.05 in;0.1;12 in;\n"
    found = read_springs(text.encode())
    assert found.problems == []
    assert [(each.line, each.name) for each in found.offered] == [(2, "A"), (3, "B"), (4, "C")]
    assert [each.strip for each in found.offered[:2]] == [Strip(1.3, 0.115, 350, 11), Strip(1.2, 0.1, 300, 10)]
    assert found.offered[2].strip.height_mm == pytest.approx(1.27)
    assert found.offered[2].strip.drum_diameter_mm is None


def test_what_is_wrong_is_told_by_line_and_column_and_the_rest_is_read() -> None:
    text = "spring,height_mm,thickness_mm,length_mm\n,1.3,thin,350\n,1.3,,350\n1.3 x 0.1,,,\n,1.3,0.1,350\n,1,2\n"
    found = read_springs(text.encode())
    assert [each.line for each in found.offered] == [5]
    assert sorted((each.line, each.field) for each in found.problems) == [
        (2, "thickness_mm"),
        (3, "thickness_mm"),
        (4, "spring"),
        (6, ""),
    ]


def test_a_list_without_known_columns_is_refused() -> None:
    with pytest.raises(Rejected, match="no columns of these names"):
        read_springs(b"height,thickness\n1,2\n")
