from datetime import UTC, datetime, time, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest

from tracker.core.rounds.missing import round_to_add
from tracker.core.roundtimes import RoundTime, moments

LONDON = ZoneInfo("Europe/London")
NOW = datetime(2026, 10, 20, tzinfo=UTC)
END = NOW + timedelta(days=14)
ALL = frozenset(range(7))
SLACK = timedelta(minutes=30)


def rounds(*at: time) -> list[datetime]:
    return moments([RoundTime(ALL, each) for each in at], NOW, END, LONDON)


@pytest.mark.parametrize("lasts_h", [13.5, 16.0, 20.0, 24.0])
def test_the_round_named_is_enough_also_over_a_change_of_clocks(lasts_h: float) -> None:
    named = round_to_add(rounds(time(7, 30)), lasts_h, SLACK, LONDON)
    assert named is not None
    both = rounds(time(7, 30), named)
    assert all(after - before <= timedelta(hours=lasts_h) - SLACK for before, after in pairwise(both))


def test_of_those_that_help_the_evening_is_named() -> None:
    assert round_to_add(rounds(time(7, 30)), 16.0, SLACK, LONDON) == time(19)


def test_where_one_round_more_is_not_enough_none_is_named() -> None:
    assert round_to_add(rounds(time(7, 30)), 8.0, SLACK, LONDON) is None


def test_where_nothing_lacks_none_is_named() -> None:
    assert round_to_add(rounds(time(7, 30)), 40.0, SLACK, LONDON) is None
