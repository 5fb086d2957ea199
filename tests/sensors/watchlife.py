"""A watch on a rest sensor whose truth is known: what it did, and what the sensor sent of it."""

from bisect import bisect_right
from dataclasses import dataclass
from random import Random

EXPECTED_S = 60.0
DAY_S = 86_400.0
SHORTEST_S = 1800.0

Interval = tuple[float, float]


@dataclass(frozen=True)
class Truth:
    """Moments of stopping and starting again by turns, the first a stop; when the sensor was cut off; knocks."""

    changes_s: list[float]
    outages_s: list[Interval]
    knocks_s: list[Interval]

    def going(self, at_s: float) -> bool:
        return bisect_right(self.changes_s, at_s) % 2 == 0

    @property
    def stops_s(self) -> list[float]:
        return self.changes_s[::2]


def live(
    chance: Random, days: float, *, knocked: float = 0.0, knock_s: float = 1.0, mean_s: float = 8 * 3600.0
) -> Truth:
    """Runs and rests of half an hour and `mean_s` more; outages of up to half a day; a share of the stops with a knock soon after."""
    changes, at_s = [], 0.0
    while at_s < days * DAY_S:
        at_s += SHORTEST_S + chance.expovariate(1 / mean_s)
        changes.append(at_s)
    begun = [chance.uniform(0, days * DAY_S) for _ in range(int(days / 3))]
    outages = [(begin, begin + chance.uniform(300, 40_000)) for begin in begun]
    shaken = [stop + chance.uniform(0, 1200) for stop in changes[::2] if chance.random() < knocked]
    return Truth(changes, sorted(outages), [(begin, begin + chance.uniform(0.1, 1) * knock_s) for begin in shaken])


def sent(truth: Truth, chance: Random, days: float, *, lost: float = 0.05) -> list[tuple[float, float]]:
    """A reading a minute with jitter, some lost one by one, none in an outage.

    A stopped watch that is knocked ticks for a while. It does so here only after the sensor has once said *stopped*:
    before, no reading could tell a knock from the end of the run.
    """
    readings, heard_still = [], False
    for minute in range(1, int(days * 1440)):
        at_s = minute * EXPECTED_S + chance.uniform(-5, 5)
        if chance.random() < lost or _within(truth.outages_s, at_s):
            continue
        going = truth.going(at_s)
        knocked = heard_still and not going and _within(truth.knocks_s, at_s)
        heard_still = not going
        readings.append((at_s, float(going or knocked)))
    return readings


def _within(intervals: list[Interval], at_s: float) -> bool:
    return any(begin <= at_s <= end for begin, end in intervals)
