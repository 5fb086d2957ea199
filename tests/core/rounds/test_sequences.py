from datetime import UTC, datetime, timedelta

from tracker.core.rounds.problem import FAR, Kept, problem
from tracker.core.rounds.sequences import Sequences, sequences

NOW = datetime(2026, 11, 2, 6, tzinfo=UTC)
HOUR = timedelta(hours=1)
HOUR_US = 3_600_000_000


def alone(wind_by: float, lasts: float, rounds: tuple[float, ...], end: float, opened: tuple[int, ...]) -> Sequences:
    moments = [NOW + hours * HOUR for hours in rounds]
    given = problem([Kept("w", NOW + wind_by * HOUR, lasts)], moments, NOW, NOW + end * HOUR, timedelta(0))[1]
    return sequences(given, opened)


def test_a_watch_is_wound_as_seldom_as_can_be() -> None:
    assert alone(30, 30, (1, 25, 49), 54, (0, 1, 2)).wound.tolist() == [[False, True, False]]


def test_of_as_few_windings_those_farthest_from_the_deadline_are_taken() -> None:
    found = alone(30, 60, (1, 20, 25), 72, (0, 1, 2))
    assert (found.wound.tolist(), found.least_margin.tolist()) == ([[False, True, False]], [10 * HOUR_US])


def test_then_the_earliest() -> None:
    found = alone(30, 100, (1, 20, 25), 72, (0, 1, 2))
    assert (found.wound.tolist(), found.least_margin.tolist()) == ([[True, False, False]], [29 * HOUR_US])


def test_a_winding_that_had_no_round_in_time_has_no_margin() -> None:
    assert alone(-5, 100, (1, 20), 72, (0,)).least_margin.tolist() == [FAR]
