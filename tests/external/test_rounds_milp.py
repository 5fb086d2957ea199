"""Plans equal those of an independent exact solver in all three aims (HiGHS, by scipy.optimize.milp)."""

import random
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from tests.external.milp_rounds import solved
from tracker.core.rounds.plan import plan
from tracker.core.rounds.problem import Kept, out_of_reach

NOW = datetime(2026, 11, 2, 6, tzinfo=UTC)
HOUR = timedelta(hours=1)


def a_case(seed: int, most_watches: int) -> tuple[list[Kept], list[datetime], datetime]:
    """Watches of a day, two days, three days and eight, and rounds by some household's rule; whole minutes."""
    draw = random.Random(seed)
    days = draw.randint(4, 14)
    hours = draw.sample((1.5, 7.0, 13.0), draw.randint(1, 2))
    rounds = sorted(NOW + (24 * day + hour) * HOUR for day in range(days) for hour in hours if draw.random() < 0.92)
    watches = []
    for place in range(draw.randint(1, most_watches)):
        lasts_min = 60 * draw.choice((26, 31, 40, 48, 64, 190)) + draw.randint(-120, 120)
        wind_by = NOW + timedelta(minutes=draw.randint(-120, lasts_min))
        watches.append(Kept(f"w{place}", wind_by, lasts_min / 60))
    return watches, rounds, NOW + days * 24 * HOUR


def with_choices(watches: list[Kept], rounds: list[datetime], seed: int) -> list[Kept]:
    """A third of the watches moved to some round of the first five days."""
    draw, early = random.Random(seed), [moment for moment in rounds if moment < NOW + 120 * HOUR]
    return [replace(each, pinned=draw.choice(early)) if draw.random() < 0.33 else each for each in watches]


def margin_of_choices(watches: list[Kept], end: datetime, slack: timedelta) -> float:
    """The least margin of the windings in chosen rounds that keep a deadline, minutes."""
    chosen = [(each.wind_by - slack, each.pinned) for each in watches if each.pinned is not None]
    kept = [(by - at) / timedelta(minutes=1) for by, at in chosen if at <= by < end]
    return min(kept, default=float("inf"))


def check(seed: int, most_watches: int, *, chosen: bool = False) -> None:
    watches, rounds, end = a_case(seed, most_watches)
    watches = with_choices(watches, rounds, seed) if chosen else watches
    slack = timedelta(minutes=random.Random(seed).choice((0, 30)))
    found = plan(watches, rounds, NOW, end, slack)
    kept = [watch for watch in watches if not out_of_reach(watch, rounds)]
    opened, windings, margin_min = solved(kept, rounds, end, slack)
    margin_min = min(margin_min, margin_of_choices(kept, end, slack))
    assert (len(found.rounds), found.windings, found.windings_within) == (opened, windings, 0)
    if found.least_margin is None:
        assert margin_min == float("inf")
    else:
        assert found.least_margin / timedelta(minutes=1) == pytest.approx(margin_min, abs=1e-4)


@pytest.mark.parametrize("seed", range(30))
def test_a_plan_equals_that_of_an_exact_solver(seed: int) -> None:
    check(seed, most_watches=20)


@pytest.mark.parametrize("seed", range(1000, 1020))
def test_so_does_one_around_rounds_that_were_chosen(seed: int) -> None:
    check(seed, most_watches=14, chosen=True)
