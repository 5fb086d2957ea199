"""What the runs before foretell of the next one: by when it is too long to be believed, and from when a stop is."""

from functools import lru_cache

from tracker.core.heldback import Foreseen, foreseen
from tracker.core.reserve import Prior, Run, next_run, prior_for
from tracker.core.toosoon import EARLIEST_RISK
from tracker.core.watch import Watch
from tracker.core.windby import hours_at_risk


def prior_of(watch: Watch) -> Prior:
    """What is thought of its reserve before anything was seen of it."""
    return prior_for(watch.stated_reserve_h, watch.reserve_class)


LATELY_YEARS = 2.0
"""What is too long is judged by the runs of so many years: a run asks for it every few months, of logs of any length."""


def too_long(prior: Prior, runs: tuple[Run, ...], age_years: float) -> Foreseen:
    """The hours from which a run at this age is held back, as runs of late foretell them without any sudden change.

    A drop only makes runs shorter.
    """
    return _foreseen(prior, tuple(run for run in runs if run.age_years >= age_years - LATELY_YEARS), age_years)


@lru_cache(maxsize=4096)
def _foreseen(prior: Prior, runs: tuple[Run, ...], age_years: float) -> Foreseen:
    """Kept between calls: the same early runs are asked of again at every new entry."""
    return foreseen(runs, prior, age_years)


@lru_cache(maxsize=4096)
def earliest(prior: Prior, runs: tuple[Run, ...], age_years: float) -> float:
    """The hours from which a stop that only a sensor tells is believed; kept likewise."""
    return hours_at_risk(next_run(runs, prior, now_years=age_years), EARLIEST_RISK)
