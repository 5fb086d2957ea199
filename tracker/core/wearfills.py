"""How many hours of wear wind an automatic from stopped to full: its owner's figure, or the usual one, and what was seen.

Seen is what a watch ran on the table that was put on standing and worn for a while: the share of its reserve that this is
came in those hours.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from tracker.core import normal
from tracker.core.normal import FloatArray

USUAL_H = 14.0
"""Common practice, no source."""
USUAL_SD = 0.4
"""Of the logarithm: watches and wearers differ so much (common practice, no source)."""
OWN_SD = 0.15
"""So much may an owner's figure be off."""
BY_DAY_SD = 0.3
"""Of the logarithm, from one day of wear to another (common practice, no source)."""
UNSAID = 0.2
"""So often, beside a stop that is noted, a watch that stood is put on without a word (common practice, no source)."""
NEARLY_FULL = 0.95
"""A run that may have lasted so much of the reserve may have begun full."""
HARDLY_AN_HOUR = 0.01
UNBELIEVED = 1e-6
"""What has no better chance than this under all that is believed was not what it seems."""
GRID = np.linspace(-4.0, 4.0, 81)
"""Standard deviations of what is believed before."""


@dataclass(frozen=True, slots=True)
class Worn:
    """Put on standing, worn so many hours, then laid down.

    It ran on for at least `low_h` and at most `high_h` (None: it was not seen to its end).
    `again_h`: it was put on again so many hours later and nobody noted that it stood.
    """

    worn_h: float
    low_h: float
    high_h: float | None
    again_h: float = 0.0


def fills(owner_h: float | None, seen: Iterable[Worn], reserve_h: float) -> tuple[float, float]:
    """Centre and standard deviation of the logarithm of the hours of wear that fill it; `reserve_h` is its reserve now."""
    centre, sd = (math.log(USUAL_H), USUAL_SD) if owner_h is None else (math.log(owner_h), OWN_SD)
    at = centre + sd * GRID
    weight = normal.pdf(GRID)
    weight /= weight.sum()
    for each in seen:
        lasted = _lasts(each.low_h, each, reserve_h, at) - _outlasts(each, reserve_h, at)
        likely = lasted * (UNSAID + (1.0 - UNSAID) * _lasts(each.again_h, each, reserve_h, at))
        # What no figure to be believed explains is a winding forgotten: it teaches nothing.
        if float(weight @ likely) > UNBELIEVED:
            weight = weight * likely
            weight /= weight.sum()
    mean = float(weight @ at)
    return mean, math.sqrt(float(weight @ (at - mean) ** 2))


def _lasts(lasted_h: float, worn: Worn, reserve_h: float, log_fills: FloatArray) -> FloatArray:
    """The chance that so much wear winds it for a run of so many hours or more."""
    if lasted_h <= HARDLY_AN_HOUR:
        return np.ones_like(log_fills)
    wound_h = min(lasted_h, NEARLY_FULL * reserve_h)  # more is never wound, however long it is worn
    return normal.cdf((math.log(worn.worn_h * reserve_h / wound_h) - log_fills) / BY_DAY_SD)


def _outlasts(worn: Worn, reserve_h: float, log_fills: FloatArray) -> FloatArray:
    """The chance that it would have gone on longer than it did at the most."""
    if worn.high_h is None or worn.high_h >= NEARLY_FULL * reserve_h:
        return np.zeros_like(log_fills)
    return _lasts(worn.high_h, worn, reserve_h, log_fills)
