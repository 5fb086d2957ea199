from datetime import date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.core.datewindow import may_show

MARCH = date(2026, 3, 2)


def on_hands(text: str) -> datetime:
    return datetime.fromisoformat(text)


@pytest.mark.parametrize(
    ("hands", "days"),
    [
        ("2026-03-04 04:00", {4}),
        ("2026-03-04 19:59", {4}),
        ("2026-03-04 20:00", {4, 5}),
        ("2026-03-04 03:59", {3, 4}),
    ],
)
def test_while_the_date_changes_both_days_fit(hands: str, days: set[int]) -> None:
    assert {day for day in range(1, 32) if may_show(on_hands(hands), MARCH, day)} == days


@pytest.mark.parametrize(
    ("set_on", "day", "shown"),
    [
        ("2026-04-10", "2026-05-01", {31, 1}),  # April has 30 days
        ("2026-02-10", "2026-03-01", {29, 1}),
        ("2026-03-10", "2026-04-01", {1}),
        ("2026-05-01", "2026-05-01", {1}),
        ("2026-04-10", "2026-07-03", {1, 2, 3}),  # put right after April, after June, or never
    ],
)
def test_a_plain_window_shows_31_in_every_month_until_it_is_put_right(set_on: str, day: str, shown: set[int]) -> None:
    noon, since = on_hands(f"{day} 12:00"), date.fromisoformat(set_on)
    assert {number for number in range(1, 32) if may_show(noon, since, number)} == shown


@given(st.dates(date(2000, 1, 1), date(2040, 1, 1)), st.integers(0, 700))
def test_the_true_day_of_the_month_always_fits(set_on: date, days: int) -> None:
    day = date.fromordinal(set_on.toordinal() + days)
    assert may_show(datetime(day.year, day.month, day.day, 12), set_on, day.day)  # noqa: DTZ001 -- hands know no zone
