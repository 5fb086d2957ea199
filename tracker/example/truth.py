"""What is true of the watches of the example, for comparing with what is estimated from their logs."""

import math
from dataclasses import dataclass
from datetime import datetime, timedelta

from tracker.example.cast import CAST
from tracker.example.days import DAYS
from tracker.example.role import Spring

DAY = timedelta(days=1)
A_YEAR = 365.25


@dataclass(frozen=True, slots=True)
class Truth:
    """The truth of a watch.

    The median run-down time in hours, now and just after the last service (on the first day if there was none), and
    the scatter of single runs (of the logarithm).
    """

    reserve_h: float
    baseline_h: float
    scatter: float


def truth(now: datetime) -> dict[str, Truth]:
    """The truth by nickname."""
    return {
        role.fields.nickname: Truth(
            reserve_h=median_h(role.spring, now, now),
            baseline_h=_baseline_h(role.spring),
            scatter=role.spring.scatter,
        )
        for role in CAST
    }


def _baseline_h(spring: Spring) -> float:
    latest = min(spring.services, key=lambda mended: mended.days_ago, default=None)
    return spring.reserve_h if latest is None else latest.reserve_h


def median_h(spring: Spring, at: datetime, now: datetime) -> float:
    """The median run-down time in hours of a full wind at `at`, with the days of the spring counted back from `now`."""
    days_ago = (now - at) / DAY
    reserve_h, since = spring.reserve_h, DAYS
    for mended in sorted(spring.services, key=lambda mended: -mended.days_ago):
        if days_ago <= mended.days_ago + 1:
            reserve_h, since = mended.reserve_h, mended.days_ago
    dropped = days_ago <= spring.drop_days_ago < since
    change = spring.per_year * (since - days_ago) / A_YEAR + (spring.drop if dropped else 0.0)
    return reserve_h * math.exp(change)
