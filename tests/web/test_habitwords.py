from datetime import timedelta
from typing import Any

from tests.web.rounds import LONDON, NOW
from tracker.core.habit import Habit
from tracker.store.moments import to_text
from tracker.web.habitwords import habit_of, said


def rows(days: int) -> list[dict[str, Any]]:
    return [
        {
            "table": "winding",
            "amount": "full",
            "at_utc": to_text(NOW - timedelta(days=day, minutes=day % 3)),
            "within_min": 2.0,
            "crown_turns": 20.0,
        }
        for day in range(days)
    ]


def test_a_habit_is_told_with_how_sure_it_is() -> None:
    assert said(habit_of(rows(28), LONDON)) == (
        "at about 07:24 ± 1 min (20 windings) on weekdays; at about 07:24 ± 1 min (8 windings) at weekends; "
        "after 24.0 h in the middle half of 27 times; by 20 turns"
    )


def test_few_windings_tell_none() -> None:
    assert habit_of(rows(5), LONDON) == Habit()
    assert said(Habit()) == ""


def test_only_full_windings_count() -> None:
    part = [{**row, "amount": "part"} for row in rows(40)]
    assert habit_of([*part, {"table": "wear"}], LONDON) == Habit()
