"""The truth of a watch that lies on a rest sensor: when it was wound, when it stopped, when it was away."""

import math
from bisect import bisect_right
from dataclasses import dataclass
from random import Random
from typing import NamedTuple

HOUR_S = 3600.0
WEEK_S = 7 * 86_400.0
YEAR_S = 365.25 * 86_400.0
BEATS_WINDOW_S = 10.0


@dataclass(frozen=True, slots=True)
class Make:
    """A watch.

    The median of its runs in hours at the beginning, the share of it lost a year, the scatter of single runs (of the
    logarithm), vibrations an hour, and the share of runs that are wound again before they end.
    """

    name: str
    reserve_h: float
    lost_a_year: float = 0.0
    scatter: float = 0.03
    vph: float = 21_600.0
    rewound: float = 0.25


class Run(NamedTuple):
    """From a full wind to the stop, or to the next winding if it was still going then. Seconds since 1970."""

    wound_s: float
    until_s: float
    stopped: bool


class Life(NamedTuple):
    """Its runs, and when it was lifted to be worn: it goes on, but its sensor does not hear it."""

    runs: tuple[Run, ...]
    away: tuple[tuple[float, float], ...]

    def going(self, at_s: float) -> bool:
        """Whether it goes."""
        place = bisect_right(self.runs, (at_s, math.inf, True))
        return place > 0 and at_s < self.runs[place - 1].until_s

    def there(self, at_s: float) -> bool:
        """Whether it lies where it belongs."""
        place = bisect_right(self.away, (at_s, math.inf))
        return place == 0 or at_s >= self.away[place - 1][1]

    def heard(self, at_s: float) -> bool:
        """Whether a sensor under it can hear it tick."""
        return self.going(at_s) and self.there(at_s)


def lived(make: Make, chance: Random, begin_s: float, end_s: float, *, lifted_a_week: float = 0.0) -> Life:
    """Runs and rests from a winding at the beginning on, and times away of some hours."""
    runs: list[Run] = []
    at_s = begin_s
    while at_s < end_s:
        median_h = make.reserve_h * (1.0 - make.lost_a_year) ** ((at_s - begin_s) / YEAR_S)
        lasts_s = HOUR_S * median_h * math.exp(chance.gauss(0.0, make.scatter))
        stopped = chance.random() >= make.rewound
        until_s = at_s + (lasts_s if stopped else lasts_s * chance.uniform(0.4, 0.9))
        runs.append(Run(at_s, until_s, stopped))
        at_s = until_s + (HOUR_S * chance.uniform(0.5, 10.0) if stopped else 0.0)
    return Life(tuple(runs), tuple(_lifted(chance, begin_s, end_s, lifted_a_week)))


def _lifted(chance: Random, begin_s: float, end_s: float, a_week: float) -> list[tuple[float, float]]:
    times: list[tuple[float, float]] = []
    at_s = begin_s
    while a_week > 0.0:
        at_s += chance.expovariate(a_week / WEEK_S)
        back_s = at_s + HOUR_S * chance.uniform(0.5, 12.0)
        if back_s > end_s:
            break
        times.append((at_s, back_s))
        at_s = back_s
    return times
