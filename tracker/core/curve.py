"""How long a clean run lasts: the chance of still going, at hours evenly spaced in their logarithm."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from tracker.core.normal import FloatArray

POINTS = 400
TAIL = 1e-8
"""The curve is kept between these shares stopped and still going."""


@dataclass(frozen=True)
class Curve:
    """Chance of still going (1 at first, falling) at hours spaced evenly in log from `from_h` to `to_h`.

    Its arrays are made once: a page asks a curve for a dozen points.
    """

    from_h: float
    to_h: float
    still_going: tuple[float, ...]

    @property
    def hours(self) -> FloatArray:
        """The hours of each point."""
        return np.geomspace(self.from_h, self.to_h, len(self.still_going))

    @cached_property
    def log_hours(self) -> FloatArray:
        """The natural logarithm of each point's hours, rising."""
        return np.log(self.hours)

    @cached_property
    def shares(self) -> FloatArray:
        """The chances of still going, falling."""
        return np.asarray(self.still_going)

    @cached_property
    def less_shares(self) -> FloatArray:
        """The same with a minus before them, rising."""
        return -self.shares


def curve_from(log_hours: FloatArray, still_going: FloatArray) -> Curve:
    """Keep POINTS points between the tails of a finer survival function (`log_hours` ascending)."""
    falling = np.minimum.accumulate(np.maximum(still_going / still_going[0], TAIL / 10.0))
    low = float(log_hours[np.flatnonzero(falling >= 1.0 - TAIL)[-1]])
    high = float(log_hours[np.flatnonzero(falling >= TAIL)[-1]])
    kept = np.interp(np.linspace(low, high, POINTS), log_hours, falling)
    kept[0] = 1.0
    return Curve(float(np.exp(low)), float(np.exp(high)), tuple(float(share) for share in kept))
