"""What one reading says of the watch that lies on the sensor: going, stopped, or neither."""

from dataclasses import dataclass
from typing import Literal, NamedTuple

State = Literal["going", "stopped"]
ROUNDING = 1e-9


class Sign(NamedTuple):
    """What a reading says by itself; None: the sensor is there, but says neither.

    A going watch may have stopped up to `least_s` before the stamp, or up to `most_s` if the sensor hears every beat.
    `fits` is false for what this watch can't have made going on as it was: as good as nothing heard.
    """

    says: State | None
    least_s: float = 0.0
    most_s: float = 0.0
    fits: bool = True


GOING, STOPPED, HOLDS, UNFIT = Sign("going"), Sign("stopped"), Sign(None), Sign(None, fits=False)


@dataclass(frozen=True, slots=True)
class Boolean:
    """1 is going, 0 is stopped."""

    def sign(self, value: float) -> Sign:
        """What the value says."""
        return GOING if value else STOPPED


@dataclass(frozen=True, slots=True)
class Level:
    """Above `upper` is going, below `lower` stopped; between them the former state holds. Any unit."""

    upper: float
    lower: float

    def sign(self, value: float) -> Sign:
        """What the value says."""
        if value > self.upper:
            return GOING
        return STOPPED if value < self.lower else HOLDS


@dataclass(frozen=True, slots=True)
class Beats:
    """A count of beats in `window_s`, within `tolerance` (a fraction) of the watch's vibrations an hour.

    Half the beats are going too: some sensors hear every other one. No more than the tolerance is stopped; any other
    count is neither: the watch stopped within the window, another watch lies there, or a neighbour is heard.
    """

    vph: float
    tolerance: float
    window_s: float

    def sign(self, value: float) -> Sign:
        """What the count says. The beats that lack may be those after a stop within the window."""
        full = self.vph * self.window_s / 3600.0
        if value <= self.tolerance * full + ROUNDING:
            return STOPPED
        if self._fits(value, full):
            lacking_s = self._lacking_s(value, full)
            return Sign("going", lacking_s, lacking_s)
        if self._fits(value, full / 2.0):
            return Sign("going", self._lacking_s(value, full / 2.0), self._lacking_s(value, full))
        return UNFIT

    def _fits(self, value: float, expected: float) -> bool:
        return abs(value - expected) <= self.tolerance * expected + ROUNDING

    def _lacking_s(self, value: float, expected: float) -> float:
        return self.window_s * max(0.0, 1.0 - value / expected)


Kind = Boolean | Level | Beats
