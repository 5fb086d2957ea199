"""A figure is never read as another one for a mark between its thousands."""

import pytest

from tracker.core.thousands import Mark, two_ways


@pytest.mark.parametrize(
    ("typed", "decimal", "found"),
    [
        ("1,234", "point", "1,234"),
        ("12,345 mm", "point", "12,345"),
        ("1.234", "comma", "1.234"),
        ("0.45 in, 1.234 mm", "comma", "1.234"),
        ("1.234", "point", None),
        ("1,234", "comma", None),
        ("0,234", "point", None),
        ("1,23", "point", None),
        ("1,2345", "point", None),
        ("1,234,567", "point", None),  # no number at all, and refused as such
    ],
)
def test_one_mark_before_three_digits_may_part_thousands(typed: str, decimal: Mark, found: str | None) -> None:
    assert two_ways(typed, decimal) == found
