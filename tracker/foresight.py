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


def too_long(prior: Prior, runs: tuple[Run, ...], age_years: float) -> Foreseen:
    """The hours from which a run at this age is held back."""
    return _points(prior, runs, age_years)[1]


def earliest(prior: Prior, runs: tuple[Run, ...], age_years: float) -> float:
    """The hours from which a stop that only a sensor tells is believed."""
    return _points(prior, runs, age_years)[0]


@lru_cache(maxsize=4096)
def _points(prior: Prior, runs: tuple[Run, ...], age_years: float) -> tuple[float, Foreseen]:
    """Kept between calls: the same few early runs are asked of again at every new entry."""
    lasts = next_run(runs, prior, now_years=age_years)
    return hours_at_risk(lasts, EARLIEST_RISK), foreseen(lasts)
