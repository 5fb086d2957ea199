"""Lengths as people write them. An inch is 25.4 mm by definition (ISO 80000-3), a ligne 2.2558 mm (27.07 mm / 12, trade value)."""

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.core.lengths import NoLength, length_of

INCH, LIGNE = 25.4, 27.07 / 12


@pytest.mark.parametrize(
    ("written", "mm"),
    [
        ("11", 11.0),
        ("1,30", 1.3),
        ("1.30 mm", 1.3),
        (".115", 0.115),
        ("35 cm", 350.0),
        ("115 µm", 0.115),
        ("0.45 in", 0.45 * INCH),
        ("0,45″", 0.45 * INCH),
        ('7/16"', 7 / 16 * INCH),
        ("1 1/8 inches", 1.125 * INCH),
        ("5 1/2 ligne", 5.5 * LIGNE),
        ("5½‴", 5.5 * LIGNE),
        ("11 '''", 11 * LIGNE),
        ("½ ligne", 0.5 * LIGNE),
    ],
)
def test_a_length_is_read_in_its_unit(written: str, mm: float) -> None:
    assert length_of(written).mm == pytest.approx(mm, rel=2e-5)


@pytest.mark.parametrize(
    "written", ["", "mm", "eleven", "1/0 in", "11 ells", "-3", "nan", "1.2.3", "1e3", "3 4", "1/2/3"]
)
def test_what_is_no_length_is_refused(written: str) -> None:
    with pytest.raises(NoLength):
        length_of(written)


@given(st.text(max_size=20))
def test_any_text_is_read_or_refused(written: str) -> None:
    with suppress(NoLength):
        assert length_of(written).mm >= 0


@given(st.integers(0, 99_999), st.sampled_from(["", " mm", " in", " ligne"]))
def test_comma_and_point_mean_the_same(thousandths: int, unit: str) -> None:
    whole, rest = divmod(thousandths, 1000)
    assert length_of(f"{whole},{rest:03d}{unit}") == length_of(f"{whole}.{rest:03d}{unit}")
