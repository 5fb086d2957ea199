"""The most telling look: at which hour of the present run a look would narrow the reserve most, the hands in mind.

A watch found stopped shows on its hands when it stopped, so a look after the stop may tell as much as a night beside it.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from tracker.core import normal
from tracker.core.likelihood import ODD_CENTRE, ODD_SHARE, ODD_SPREAD
from tracker.core.normal import FloatArray
from tracker.core.posterior import Scattered
from tracker.core.spread import Grid

MOST_CELLS = 400
LEVELS = 200
EMPTY = 1e-9
READINGS_A_ROUND = (48, 24, 12, 8, 6, 4, 3, 2)
"""Into so many readings a round of the hands is cut: the finest that MOST_CELLS allow."""
HARDLY = 0.002
"""Hours by which less than this share of clean runs has stopped, or after which less goes on, are not looked at."""


@dataclass(frozen=True, slots=True)
class Looks:
    """What is expected of the doubt after one look at the present run: the share of it that is left.

    Doubt is the width of the band of log reserve now (5 to 95 %). `with_hands` and `without_hands` are for looks at
    hours since the wind, evenly from `from_h` to `to_h`: at a watch found stopped the hands are read, or not. `run_out`
    is for a watch that is looked at once in every round of the hands until it stands, and its hands then read.
    """

    from_h: float
    to_h: float
    with_hands: tuple[float, ...]
    without_hands: tuple[float, ...]
    run_out: float

    def left(self, hours: Sequence[float], *, hands: bool) -> FloatArray:
        """The share left after a look at each of these hours; past either end as there."""
        shares = self.with_hands if hands else self.without_hands
        return np.interp(hours, np.linspace(self.from_h, self.to_h, len(shares)), shares)


@dataclass(frozen=True, slots=True)
class Look:
    """What looks are to be weighed: at a run seen going at so many hours, on a dial of so many."""

    after_h: float
    dial_hours: int


def looks_from(stored: Mapping[str, Any]) -> Looks:
    """Read looks back from plain values, also after a round trip through JSON."""
    shares = {name: tuple(stored[name]) for name in ("with_hands", "without_hands")}
    return Looks(**{**stored, **shares})


def looks(
    grid: Grid, scattered: list[Scattered], scale_h: float, *, seen_going_h: float = 0.0, dial_hours: int = 12
) -> Looks:
    """Weigh every look at a run of the present age that was last seen going `seen_going_h` after its full wind.

    `scattered` is the level now by scatter (tracker.core.posterior.level_now). Each outcome is weighed as
    tracker.core.likelihood would weigh its evidence: going, stopped, or stopped at a moment the hands allow.
    """
    upper, level, sigma, weight = _thinned(grid, scattered)
    low, high = _reach(level, sigma, weight)
    edges, readings = _edges(low, high, seen_going_h / scale_h, dial_hours / scale_h)
    before = _stopped(seen_going_h / scale_h, level, sigma) if seen_going_h > 0.0 else np.zeros(weight.shape)
    ends = [before, *(_stopped(edge, level, sigma) for edge in edges), np.ones(weight.shape)]
    rising = np.array([(weight * end).sum(axis=0) for end in ends])
    mass = np.diff(rising, axis=0)
    by_look = mass.cumsum(axis=0)[:-1]
    whole = mass.sum(axis=0)
    going = _doubt(whole - by_look, upper)
    read = np.cumsum(_doubt_by_hands(mass[:-1], upper, readings))
    now = float(_doubt(whole[None], upper)[0])
    return Looks(
        from_h=float(edges[0]) * scale_h,
        to_h=float(edges[-1]) * scale_h,
        with_hands=tuple(((going + read) / now).tolist()),
        without_hands=tuple(((going + _doubt(by_look, upper)) / now).tolist()),
        run_out=float(_doubt(mass, upper).sum()) / now,
    )


def _thinned(grid: Grid, scattered: list[Scattered]) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Upper ends and middles of columns of levels, scatters (row, 1) and the mass (row, column).

    The columns are no finer than is needed, and there are none at empty ends.
    """
    sigma = np.concatenate([scatters for scatters, _ in scattered])
    mass = np.concatenate([part for _, part in scattered])
    used = np.flatnonzero(mass.sum(axis=0) > EMPTY * mass.sum())
    first, last = int(used[0]), int(used[-1]) + 1
    starts = np.arange(first, last, max(1, (last - first) // LEVELS))
    ends = np.append(starts[1:], last)
    middle = (grid.centre[starts] + grid.centre[ends - 1]) / 2.0
    return grid.edge[ends - 1], middle, sigma[:, None], np.add.reduceat(mass[:, :last], starts, axis=1)


def _stopped(ratio: float, level: FloatArray, sigma: FloatArray) -> FloatArray:
    """The chance that a run has stopped by some hours over scale: (scatter, level)."""
    at = math.log(ratio)
    odd = float(normal.cdf((at - ODD_CENTRE) / ODD_SPREAD))
    return (1.0 - ODD_SHARE) * normal.cdf((at - level) / sigma) + ODD_SHARE * odd


def _reach(level: FloatArray, sigma: FloatArray, weight: FloatArray) -> tuple[float, float]:
    """Hours over scale between which all but HARDLY of the clean runs stop, either side."""
    reach = 4.0 * float(sigma.max())
    logs = np.linspace(level[0] - reach, level[-1] + reach, 200)
    share = np.array([(weight * normal.cdf((at - level) / sigma)).sum() for at in logs]) / weight.sum()
    low, high = np.interp([HARDLY, 1.0 - HARDLY], share, logs)
    return math.exp(low), math.exp(high)


def _edges(low: float, high: float, seen: float, dial: float) -> tuple[FloatArray, int]:
    """Hours (over scale) to look at, so many of them to a round of the hands."""
    start = max(low, seen)
    end = max(high, start + dial)
    fits = (readings for readings in READINGS_A_ROUND if (end - start) / dial * readings <= MOST_CELLS)
    readings = next(fits, READINGS_A_ROUND[-1])
    count = math.ceil((end - start) / dial * readings) + 1
    return np.linspace(start, start + dial / readings * (count - 1), count), readings


def _doubt(mass: FloatArray, at: FloatArray) -> FloatArray:
    """Chance of each outcome (row) times the width of the band it leaves; `at` are the upper ends of the columns."""
    rising = np.maximum(mass, 0.0).cumsum(axis=1)
    chance = rising[:, -1]
    low, high = (_point(rising, share * chance, at) for share in (0.05, 0.95))
    return chance * (high - low)


def _point(rising: FloatArray, target: FloatArray, at: FloatArray) -> FloatArray:
    """The level at which each row reaches its target, drawn straight between the ends of columns."""
    place = np.clip((rising < target[:, None]).sum(axis=1), 1, at.size - 1)
    row = np.arange(target.size)
    below, above = rising[row, place - 1], rising[row, place]
    share = np.divide(target - below, above - below, out=np.zeros_like(target), where=above > below)
    point: FloatArray = at[place - 1] + (at[place] - at[place - 1]) * np.clip(share, 0.0, 1.0)
    return point


def _doubt_by_hands(mass: FloatArray, at: FloatArray, readings: int) -> FloatArray:
    """What each further stretch adds to the doubt if the hands are read: stretches a whole round apart look alike."""
    size, columns = mass.shape
    rounds = math.ceil(size / readings)
    padded = np.pad(mass, ((0, rounds * readings - size), (0, 0))).reshape(rounds, readings, columns)
    doubt = _doubt(padded.cumsum(axis=0).reshape(-1, columns), at).reshape(rounds, readings)
    return np.diff(doubt, axis=0, prepend=0.0).ravel()[:size]
