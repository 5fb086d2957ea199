from dataclasses import replace
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from tests.reminders.test_winderplan import STILL
from tracker import winderwords
from tracker.core.winderfinding import Rate

NOW = datetime(2026, 11, 25, 20, 30, tzinfo=UTC)
BERLIN = ZoneInfo("Europe/Berlin")


def said(**facts: object) -> str:
    return winderwords.text(replace(STILL, **facts), NOW, BERLIN)  # type: ignore[arg-type]  # by name


@pytest.mark.parametrize(
    ("facts", "sentence"),
    [
        (
            {"word": "too few turns", "a_day": 321.4, "needs_a_day": 700.0, "way": "clockwise", "whose": "owner"},
            "Almanac gets 321 turns a day; by your figure it needs 700 clockwise.",
        ),
        (
            {"word": "too few turns", "a_day": 321.4, "needs_a_day": 700.0, "whose": "owner"},
            "Almanac gets 321 turns a day; by your figure it needs 700.",
        ),
        (
            {"word": "too few turns", "a_day": 321.4, "way": "anticlockwise"},
            (
                "Almanac gets 321 turns a day; only anticlockwise winds it, and 650 to 800 a day is usual "
                "(common practice, no source)."
            ),
        ),
        (
            {"word": "too few turns", "a_day": 321.4},
            "Almanac gets 321 turns a day; 650 to 800 a day is usual (common practice, no source).",
        ),
    ],
)
def test_too_few_turns_are_told_beside_what_it_needs_and_whose_figure_that_is(
    facts: dict[str, object], sentence: str
) -> None:
    assert said(**facts) == sentence


def test_a_stop_to_come_is_told_and_one_past_is_not() -> None:
    assert "It stops at about" in said(stops_at=datetime(2026, 11, 26, 4, 0, tzinfo=UTC))
    assert "It stops" not in said(stops_at=datetime(2026, 11, 25, 4, 0, tzinfo=UTC))


def test_silence_is_not_told_as_no_turns() -> None:
    assert "last heard" in said(word="not heard")
    assert "only its sensor" in said(word="not heard")


def test_a_stop_in_spite_of_the_turns_names_what_may_be_the_cause() -> None:
    assert "The automatic work or the bridle may be the cause" in said(word="enough turns, yet stopped", a_day=820.0)


@pytest.mark.parametrize(
    ("rate", "sentence"),
    [
        (Rate(0, 0, 712.3, 60), "On its winder: 712 turns a day of late."),
        (
            Rate(400, 300, 0, 60),
            "On its winder: 700 turns a day of late, 400 clockwise and 300 anticlockwise.",
        ),
    ],
)
def test_turns_a_day_are_told_by_direction_where_it_is_known(rate: Rate, sentence: str) -> None:
    assert winderwords.lately(rate) == sentence
