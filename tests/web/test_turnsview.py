from datetime import UTC, datetime

from sensors.turns import HOUR_S, Hour
from tests.web.rounds import LONDON
from tracker.web.turnsview import TurnDay, heads, turn_days

NOW = datetime(2026, 11, 25, 7, 25, tzinfo=UTC)
HOUR = int(NOW.timestamp() // HOUR_S)


def hour(ago: int, *, clockwise: float = 0.0, known_s: float = HOUR_S) -> Hour:
    return Hour(HOUR - ago, clockwise=clockwise, heard_s=known_s)


def test_turns_are_told_by_the_owners_day_and_nothing_of_a_day_not_heard() -> None:
    told = [hour(60, clockwise=30.0), hour(9, clockwise=20.4), hour(8, clockwise=7.0), hour(7, known_s=1_800.0)]
    assert turn_days(told, NOW, LONDON, 7) == [
        TurnDay("today", "0", "0", "0", "30 min"),
        TurnDay("yesterday", "27", "0", "0", "2 h"),
        TurnDay("Mon", "", "", "", "nothing known"),
        TurnDay("Sun", "30", "0", "0", "1 h"),
    ]


def test_only_columns_that_hold_turns_are_shown() -> None:
    days = turn_days([hour(1, clockwise=3.0)], NOW, LONDON, 1)
    assert heads(days) == [("clockwise", "clockwise")]
    assert heads(turn_days([hour(1)], NOW, LONDON, 1)) == [("not_known", "turns")]
