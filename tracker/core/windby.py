"""From how long a run lasts to when to wind: points of the run still to come, given how long it has been seen going.

All hours count from the full wind. A curve is how long a clean run lasts (tracker.core.reserve.estimate gives it).
"""

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from tracker.core.curve import Curve

HOURS_PER_YEAR = 8766.0
LEAST_RISK = 0.005
"""The tail of a run's length is known no better than this."""
MOST_RISK = 0.10
STOPPED_RISK = 0.999
"""A watch past the hours by which this share of runs has stopped is taken to stand still."""
_ROUNDS = 100
_CLOSE = 1e-9


@dataclass(frozen=True, slots=True)
class Risk:
    """Accepted chance that the watch stops before one wind-by, and which bound it was brought to, if any.

    At the floor a wind-by alone cannot promise the stops a year asked for; at the ceiling it is stricter than asked.
    """

    p: float
    at_floor: bool
    at_ceiling: bool


def still_going(curve: Curve, hours: float, *, seen_going_h: float = 0.0) -> float:
    """Chance that a watch seen going at `seen_going_h` is still going at `hours`."""
    if hours <= seen_going_h:
        return 1.0
    return math.exp(_log_share(curve, hours) - _log_share(curve, seen_going_h))


def hours_at_risk(curve: Curve, p: float, *, seen_going_h: float = 0.0) -> float:
    """Hours by which a watch seen going at `seen_going_h` has stopped with chance `p` (0 < p < 1): q in S(q) = (1 − p) S(g).

    Never before `seen_going_h`, rising with it and with `p`.
    """
    target = math.log1p(-p) + _log_share(curve, seen_going_h)
    if target < math.log(curve.still_going[-1]):
        return max(seen_going_h, curve.to_h * math.exp((math.log(curve.still_going[-1]) - target) / _tail_power(curve)))
    return max(seen_going_h, math.exp(np.interp(-math.exp(target), curve.less_shares, curve.log_hours)))


def stopped_h(curve: Curve, *, seen_going_h: float = 0.0) -> float:
    """Hours past which the watch is taken to have stopped: one run in a thousand lasts longer."""
    return hours_at_risk(curve, STOPPED_RISK, seen_going_h=seen_going_h)


@lru_cache(maxsize=4096)
def risk_for(curve: Curve, stops_a_year: float) -> Risk:
    """Turn stops a year, accepted by one who always winds at the last moment, into the risk of one wind-by.

    p = stops a year × wind-by hours / hours of a year, solved by iteration from below, kept between LEAST_RISK and
    MOST_RISK.
    """
    p = LEAST_RISK
    for _ in range(_ROUNDS):
        asked = stops_a_year * hours_at_risk(curve, p) / HOURS_PER_YEAR
        bounded = min(max(asked, LEAST_RISK), MOST_RISK)
        if abs(bounded - p) < _CLOSE:
            break
        p = bounded
    return Risk(bounded, at_floor=asked < LEAST_RISK, at_ceiling=asked > MOST_RISK)


def _log_share(curve: Curve, hours: float) -> float:
    """Log of the chance of still going at `hours`, beyond the curve's end by a power of the hours."""
    if hours <= curve.from_h:
        return math.log(curve.still_going[0])
    if hours >= curve.to_h:
        return math.log(curve.still_going[-1]) - _tail_power(curve) * math.log(hours / curve.to_h)
    return math.log(float(np.interp(math.log(hours), curve.log_hours, curve.shares)))


def _tail_power(curve: Curve) -> float:
    """Power of the hours by which the chance of still going falls at the curve's end."""
    step = math.log(curve.to_h / curve.from_h) / (len(curve.still_going) - 1)
    return math.log(curve.still_going[-2] / curve.still_going[-1]) / step
