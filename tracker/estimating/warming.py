"""Loading what estimates are worked out with before anyone asks for one: else the first entry waits for it."""

from tracker.core.evidence import Evidence, at_least, between, exact
from tracker.core.likelihood import Run
from tracker.core.reserve import estimate, prior_for
from tracker.core.telling import Look
from tracker.foresight import too_long

STATED_H = 40.0
RUNS, DAYS = 24, 20
"""So many runs, and so many days from one to the next."""
DROPPED_FROM, DROPPED_TO = 14, 0.92
"""A drop before one of them, so small that it may be none."""


def warm() -> None:
    """Work out a made-up log that tells in every way, and dropped: all loops are then loaded, or compiled if they never were."""
    runs = tuple(_run(place) for place in range(RUNS))
    now_years = runs[-1].age_years
    too_long(prior_for(STATED_H), runs, now_years)
    estimate(runs, prior_for(STATED_H), now_years=now_years, look=Look(STATED_H / 2, 12))


def _run(place: int) -> Run:
    hours = STATED_H if place < DROPPED_FROM else DROPPED_TO * STATED_H
    hands = Evidence("one_of", ((hours - 12.1, hours - 11.9), (hours - 0.1, hours + 0.1)))
    kinds = exact(hours), between(hours - 2.0, hours + 2.0), hands, at_least(hours - 4.0)
    return Run(place * DAYS / 365.25, kinds[place % len(kinds)])
