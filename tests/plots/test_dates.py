"""Dates along an axis."""

from datetime import UTC, datetime, timedelta

import pytest

from tests.plots.drawings import BERLIN
from tracker.plots import dates

START = datetime(2023, 11, 20, tzinfo=UTC)


@pytest.mark.parametrize("days", [1, 40, 100, 400, 1100, 4000, 20000])
def test_few_enough_for_a_phone_and_of_long_times_each_a_first_of_a_month(days: int) -> None:
    ticks = dates.ticks(START, START + timedelta(days=days), BERLIN)
    assert len(ticks["tickvals"]) == len(ticks["ticktext"]) <= 6
    assert days <= 40 or all(each.endswith("-01") for each in ticks["tickvals"])


@pytest.mark.parametrize("days", [1, 5, 9, 30])
def test_a_short_log_is_told_by_its_days(days: int) -> None:
    ticks = dates.ticks(START, START + timedelta(days=days), BERLIN)
    assert 1 <= len(ticks["tickvals"]) <= 6
    assert ticks["ticktext"][-1] == f"{(START + timedelta(days=days)).astimezone(BERLIN):%m-%d}"


def test_whole_years_are_told_by_their_number_alone() -> None:
    ticks = dates.ticks(START, START + timedelta(days=1500), BERLIN)
    assert ticks["ticktext"] == ["2024", "2025", "2026", "2027"]


def test_the_year_stands_at_the_first_mark_and_where_it_begins() -> None:
    ticks = dates.ticks(START, START + timedelta(days=130), BERLIN)
    assert ticks["ticktext"] == ["Dec<br>2023", "Jan<br>2024", "Feb", "Mar"]


def test_a_moment_is_told_by_the_owners_clock() -> None:
    assert dates.local(datetime(2026, 6, 30, 22, 30, tzinfo=UTC), BERLIN) == "2026-07-01 00:30"
    assert dates.month(datetime(2026, 6, 30, 22, 30, tzinfo=UTC), BERLIN) == "Jul 2026"
