"""Which backups may go: the newest never, and never more than was said."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.backup.thinning import DAYS, MONTHS, WEEKS, due, to_delete

LISBON, BERLIN = ZoneInfo("Europe/Lisbon"), ZoneInfo("Europe/Berlin")
NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)
MOMENTS = st.sets(st.integers(0, 4_133_980_800).map(lambda at_s: datetime.fromtimestamp(at_s, UTC)), max_size=60)
DENSE = st.sets(st.integers(0, 24 * 500).map(lambda hours: NOON - timedelta(hours=hours)), max_size=120)


@given(MOMENTS | DENSE)
def test_the_newest_is_never_deleted_and_what_is_deleted_was_there(made: set[datetime]) -> None:
    gone = to_delete(made, BERLIN)
    assert gone <= made
    assert not made or max(made) not in gone


@given(MOMENTS | DENSE)
def test_every_one_of_the_newest_days_weeks_and_months_keeps_its_newest(made: set[datetime]) -> None:
    left = made - to_delete(made, BERLIN)
    for most, of in ((DAYS, _day), (WEEKS, _week), (MONTHS, _month)):
        wanted = sorted({of(each) for each in made})[-most:]
        for key in wanted:
            assert max(each for each in made if of(each) == key) in left
    assert len(left) <= DAYS + WEEKS + MONTHS


@given(MOMENTS | DENSE)
def test_thinning_twice_is_thinning_once(made: set[datetime]) -> None:
    left = made - to_delete(made, BERLIN)
    assert to_delete(left, BERLIN) == set()


@given(DENSE, st.integers(1, 400))
def test_up_to_seven_backups_on_different_days_all_stay(made: set[datetime], apart: int) -> None:
    days = {NOON - timedelta(days=apart * n) for n in range(7)}
    assert not to_delete(days, BERLIN)
    assert to_delete(made | days, BERLIN) <= made | days


def test_two_years_of_days_leave_seven_days_four_weeks_twelve_months() -> None:
    made = {NOON - timedelta(days=n) for n in range(730)}
    left = sorted(made - to_delete(made, LISBON), reverse=True)
    assert [(NOON - each).days for each in left[:9]] == [0, 1, 2, 3, 4, 5, 6, 10, 17]
    assert {(each.year, each.month) for each in left} == {(2026, n) for n in range(1, 12)} | {(2025, 12)}


@pytest.mark.parametrize(
    ("made", "wanted"),
    [
        ([], True),
        ([NOON], False),
        ([NOON - timedelta(hours=11)], False),
        ([NOON - timedelta(hours=13)], True),
        ([datetime(2100, 1, 1, tzinfo=UTC)], True),
        ([datetime(1970, 1, 1, tzinfo=UTC)], True),
    ],
)
def test_one_is_due_on_each_day_of_the_owners_whatever_wrong_clocks_have_made(
    made: list[datetime],
    wanted: bool,  # noqa: FBT001 -- given by name of the case
) -> None:
    assert due(made, NOON, LISBON) == wanted


def _day(each: datetime) -> tuple[int, int]:
    return (0, each.astimezone(BERLIN).toordinal())


def _week(each: datetime) -> tuple[int, int]:
    return each.astimezone(BERLIN).isocalendar()[:2]


def _month(each: datetime) -> tuple[int, int]:
    return (each.astimezone(BERLIN).year, each.astimezone(BERLIN).month)
