from datetime import UTC, datetime, timedelta

from tracker.core.rounds.margins import margins

NOW = datetime(2026, 11, 2, 6, tzinfo=UTC)
HOUR = timedelta(hours=1)


def test_the_first_goes_by_the_wind_by_and_the_others_by_how_long_a_winding_lasts() -> None:
    wound = [NOW + hours * HOUR for hours in (5, 30, 80)]
    assert margins(wound, NOW + 8 * HOUR, 40 * HOUR) == [3 * HOUR, 15 * HOUR, -10 * HOUR]


def test_one_that_has_stopped_has_no_margin_for_its_first() -> None:
    assert margins([NOW, NOW + 30 * HOUR], None, 40 * HOUR) == [None, 10 * HOUR]


def test_without_windings_there_is_none() -> None:
    assert margins([], NOW, HOUR) == []
