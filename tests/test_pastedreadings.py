"""A pasted block of readings: parted by what it is parted by, each fault by its line."""

import pytest

from tracker.errors import Rejected
from tracker.pastedreadings import pasted


def test_without_a_first_line_the_columns_are_the_usual_four() -> None:
    assert pasted("CH\t4,2\t285\t0,3\nCB\t-1\n") == [
        (1, {"position": "CH", "rate_s_per_day": "4,2", "amplitude_deg": "285", "beat_error_ms": "0,3"}),
        (2, {"position": "CB", "rate_s_per_day": "-1"}),
    ]


@pytest.mark.parametrize("by", ["\t", ";", ","])
def test_a_first_line_names_the_columns(by: str) -> None:
    text = by.join(["Position", "since_wind_min", "amplitude"]) + "\n\n" + by.join(["3H", "1440", "228"])
    assert pasted(text) == [(3, {"position": "3H", "since_wind_min": "1440", "amplitude_deg": "228"})]


def test_nothing_pasted_is_nothing() -> None:
    assert pasted(" \n\n") == []


def test_cells_too_many_are_named_by_line() -> None:
    with pytest.raises(Rejected) as refused:
        pasted("CH,4,2,285,0,3\nCB,1\n")
    assert refused.value.problems[0].sentence == (
        "Line 1: Cells in this line: 6; columns: 4. Part cells by tabs or semicolons where numbers have a decimal comma."
    )


def test_a_column_that_is_not_ours_is_named() -> None:
    with pytest.raises(Rejected) as refused:
        pasted("position;colour\nCH;red\n")
    assert "There are no columns of these names: colour." in refused.value.problems[0].sentence
