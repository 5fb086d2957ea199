"""Learning the two thresholds of a level sensor from some minutes with the watch going and some without."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import quantiles
from typing import Literal

from sensors.kinds import Level
from tracker.words import say

LEAST_READINGS = 10
"""Of each: were both alike, all of one would lie above all of the other once in 184,756 times (20 choose 10)."""
LEAST_SEPARATION = 0.5
"""At least half the way from the quieter quarter of going to the louder quarter of stopped must be empty."""
Why = Literal["too few", "wrong way round", "overlap"]
SENTENCES: dict[Why, str] = {
    "too few": "Going and stopped can't be told apart yet: at least {least} readings of each are needed.",
    "wrong way round": "Going and stopped can't be told apart: it was louder without the watch than with it.",
    "overlap": "Going and stopped can't be told apart: their levels lie too near each other.",
}


@dataclass(frozen=True, slots=True)
class Learned:
    """Thresholds in the sensor's unit. `separation` is the empty share, up to 1, of the way between the two levels."""

    upper: float
    lower: float
    separation: float


@dataclass(frozen=True, slots=True)
class NotApart:
    """Going and stopped can't be told apart by these readings."""

    why: Why

    @property
    def sentence(self) -> str:
        """The reason as a sentence."""
        return say(SENTENCES[self.why], least=LEAST_READINGS)


def learn(going: Sequence[float], stopped: Sequence[float]) -> Learned | NotApart:
    """Thresholds from finite levels heard with the watch going and without, all else alike (neighbours, winder on).

    They divide what is empty between the two into thirds, by difference or, if that parts the levels better, by ratio:
    sounds scatter by a factor. No reading given may contradict them.
    """
    if min(len(going), len(stopped)) < LEAST_READINGS:
        return NotApart("too few")
    if max(going) < min(stopped):
        return NotApart("wrong way round")
    scales = [_thirds(going, stopped, float, float)]
    if min(*going, *stopped) > 0.0:
        scales.append(_thirds(going, stopped, math.log, math.exp))
    best = max(scales, key=lambda learned: learned.separation)
    kept = Level(best.upper, best.lower)
    honest = all(kept.sign(level).says == "going" for level in going) and all(
        kept.sign(level).says == "stopped" for level in stopped
    )
    return best if honest and best.separation >= LEAST_SEPARATION else NotApart("overlap")


def _thirds(
    going: Sequence[float], stopped: Sequence[float], scale: Callable[[float], float], back: Callable[[float], float]
) -> Learned:
    """Both thresholds on a scale; the separation is not above nothing where the levels overlap."""
    loud, quiet = sorted(map(scale, going)), sorted(map(scale, stopped))
    empty = loud[0] - quiet[-1]
    way = quantiles(loud, method="inclusive")[0] - quantiles(quiet, method="inclusive")[2]
    separation = empty / way if empty > 0.0 and math.isfinite(way) else 0.0
    return Learned(back(quiet[-1] + empty * 2.0 / 3.0), back(quiet[-1] + empty / 3.0), separation)
