from datetime import UTC, datetime, timedelta

import pytest

from tracker.example.role import Mended, Spring
from tracker.example.truth import median_h, truth

NOW = datetime(2026, 11, 25, 7, 25, tzinfo=UTC)
SPRING = Spring(
    reserve_h=40.0,
    per_year=0.0,
    drop=-0.25,
    drop_days_ago=100,
    services=(Mended(days_ago=400, work_done="", reserve_h=50.0), Mended(days_ago=20, work_done="", reserve_h=52.0)),
)


@pytest.mark.parametrize(("days_ago", "hours"), [(500, 40.0), (390, 50.0), (50, 38.94), (5, 52.0)])
def test_a_service_begins_anew_and_ends_a_drop(days_ago: int, hours: float) -> None:
    assert median_h(SPRING, NOW - timedelta(days=days_ago), NOW) == pytest.approx(hours, abs=0.01)


def test_a_decline_counts_from_the_service() -> None:
    spring = Spring(reserve_h=1.0, per_year=-0.05, services=(Mended(days_ago=731, work_done="", reserve_h=45.0),))
    assert median_h(spring, NOW, NOW) == pytest.approx(45.0 * 0.9048, abs=0.02)


def test_one_declines_one_has_dropped_one_is_freshly_serviced() -> None:
    true = truth(NOW)
    lost = {nickname: 1 - each.reserve_h / each.baseline_h for nickname, each in true.items()}
    assert 0.12 < lost["Workshop spare"] < 0.16
    assert 0.15 < lost["Fog signal"] < 0.19
    assert lost["Slack water"] < 0.01
    assert sorted(nickname for nickname in lost if lost[nickname] > 0.1) == ["Fog signal", "Workshop spare"]
