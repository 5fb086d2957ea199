from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from tracker.core.segment import YEAR
from tracker.core.servicerule import NO_RULE, Rule, due_at, rule_of
from tracker.core.watch import Watch

BERLIN = ZoneInfo("Europe/Berlin")
SERVICED = datetime(2024, 6, 1, tzinfo=UTC)
DAY = datetime(2029, 12, 31, 23, tzinfo=UTC)
"""The first of January 2030 begins in Berlin."""


def rule(*, every: float | None = None, on: date | None = None, of_all: float | None = 5.0, serviced: datetime | None = SERVICED) -> Rule:  # fmt: skip
    watch = Watch(uid="w", nickname="w", service_every_years=every, service_due_on=on)
    return rule_of(watch, of_all, serviced, BERLIN)


def test_a_rule_for_the_watch_alone_takes_the_place_of_that_for_all() -> None:
    assert rule() == Rule(5.0)
    assert rule(of_all=None) == NO_RULE
    assert rule(every=3.0) == Rule(3.0, None, own=True)
    assert rule(on=date(2030, 1, 1)) == Rule(None, DAY, own=True)
    assert rule(every=3.0, on=date(2030, 1, 1)) == Rule(3.0, DAY, own=True)


@pytest.mark.parametrize("serviced", [DAY, DAY + timedelta(days=40)])
def test_a_day_is_done_with_once_a_service_came_on_it_or_later(serviced: datetime) -> None:
    assert rule(on=date(2030, 1, 1), serviced=serviced) == Rule(5.0)
    assert rule(on=date(2030, 1, 1), serviced=DAY - timedelta(seconds=1)).day == DAY
    assert rule(on=date(2030, 1, 1), serviced=None).day == DAY


def test_due_is_what_comes_first_and_years_count_from_a_service_alone() -> None:
    assert due_at(NO_RULE, SERVICED) is None
    assert due_at(Rule(5.0), None) is None
    assert due_at(Rule(5.0), SERVICED) == SERVICED + 5 * YEAR
    assert due_at(Rule(None, DAY, own=True), None) == DAY
    assert due_at(Rule(3.0, DAY, own=True), SERVICED) == SERVICED + 3 * YEAR
    assert due_at(Rule(30.0, DAY, own=True), SERVICED) == DAY
