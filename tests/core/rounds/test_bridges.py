from datetime import UTC, datetime, timedelta

import numpy as np

from tracker.core.rounds.bridges import bridged, network
from tracker.core.rounds.problem import Kept, Problem, problem

NOW = datetime(2026, 11, 2, 6, tzinfo=UTC)
HOUR = timedelta(hours=1)


def given(*watches: tuple[float, float], rounds: tuple[float, ...], end: float) -> Problem:
    kept = [Kept("w", NOW + wind_by * HOUR, lasts) for wind_by, lasts in watches]
    return problem(kept, [NOW + hours * HOUR for hours in rounds], NOW, NOW + end * HOUR, timedelta(0))[1]


def test_a_round_follows_another_if_every_watch_under_way_lasts_so_long() -> None:
    allowed = bridged(given((10, 20), (60, 100), rounds=(5, 20, 40), end=55), 0)
    assert allowed.astype(int).tolist() == [
        [1, 0, 0, 0],  # from now: the first watch must be wound by 10
        [0, 1, 0, 0],
        [0, 0, 1, 0],
        [0, 0, 0, 1],
    ]


def test_a_margin_shortens_deadlines_but_excuses_nobody() -> None:
    problem_ = given((10, 20), rounds=(5, 20, 60), end=70)
    hour = 3_600_000_000
    assert bridged(problem_, 5 * hour)[1, 1]
    assert not bridged(problem_, 5 * hour + 1)[1, 1]
    assert bridged(problem_, 5 * hour)[2, 2], "nothing lies between 20 and the deadline at 40: excused"


def test_the_fewest_rounds_are_found_and_all_ways_that_have_so_few() -> None:
    found = network(bridged(given((10, 20), rounds=(2, 8, 20), end=25), 0), np.zeros(3, dtype=bool))
    assert found is not None
    assert found.fewest == 1
    assert found.useful.tolist() == [False, True, False]


def test_a_round_that_is_always_open_is_passed_over_by_no_way() -> None:
    found = network(bridged(given((10, 20), rounds=(2, 8, 20), end=25), 0), np.array([True, False, False]))
    assert found is not None
    assert (found.fewest, found.useful.tolist(), found.open_before.tolist()[:2]) == (2, [True, True, True], [0, 1])


def test_with_too_large_a_margin_there_is_no_way() -> None:
    allowed = bridged(given((10, 20), rounds=(9,), end=25), 2 * 3_600_000_000)
    assert network(allowed, np.zeros(1, dtype=bool)) is None
