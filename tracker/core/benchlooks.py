"""The planned looks of a run-down test: those that tell the stop most closely for the fewest looks.

A watch found stopped shows on its hands when it stopped, up to a whole round of the dial: one look after it must have
stopped may tell as much as a night beside it, and a look in between settles which round it was. Where the hands tell
nothing, the stop lies between the last look that saw it going and the first that did not.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from tracker.core import normal
from tracker.core.curve import Curve
from tracker.core.hands import DRIFT, TOLERANCE
from tracker.core.likelihood import ODD_CENTRE, ODD_SHARE, ODD_SPREAD
from tracker.core.normal import FloatArray

GOAL_READ_H = 0.5
"""How closely a stop is to be known that is read off the hands, hours."""
GOAL_UNREAD_H = 2.0
"""How closely, where looks alone tell it."""
WORTH_LOOKS = 1.5
"""So many looks it is worth to know a stop twice as closely, until it is known as closely as it is to be."""
WAIT_LOOKS_AN_HOUR = 0.004
"""What an hour of waiting counts for: a day as a tenth of a look."""
NOT_TOLD_LOOKS = 2.0
"""What it takes when a watch goes on past the last look that was planned."""
UNLIKELY = 0.05
"""Of the moments that the hands allow, one with less than this share of the likeliest one's chance is left out."""
HARDLY = 0.005
"""Looks are planned from the hour by which this share of runs has stopped until only this share goes on."""
MOST_TIMES = 72
MOST_CELLS = 500
CELLS_A_ROUND = (24, 12, 6, 4, 2)
_LONGEST = 2.5
_H = 3600.0


@dataclass(frozen=True, slots=True)
class HandsTell:
    """What the hands of this watch tell of its stop: it repeats after `dial_hours`.

    With a date that was set along with them (`dated`) only within one day; `clock_h` is the hour of the day at the wind.
    """

    dial_hours: int = 12
    dated: bool = False
    clock_h: float = 0.0


@dataclass(frozen=True, slots=True)
class TestRun:
    """A run-down test as it stands: how long a clean run lasts, the hours the reserve is thought of at first, and since when.

    `seen_h`: seen going so many hours after its wind. `hands` is None if nothing is read off them.
    """

    __test__ = False
    curve: Curve
    scale_h: float
    seen_h: float = 0.0
    hands: HandsTell | None = None

    @property
    def goal_h(self) -> float:
        """How closely its stop is to be known; no closer than hands are read that were set so long ago."""
        return GOAL_UNREAD_H if self.hands is None else max(GOAL_READ_H, _read_h(_LONGEST * self.scale_h))


@dataclass(frozen=True, slots=True)
class PlannedLook:
    """A look so many hours after the wind; `stopped` is the chance that it stands by then, as far as is known now."""

    hours: float
    stopped: float


@dataclass(frozen=True, slots=True)
class LookPlan:
    """The looks to come, each made only if all before found it going.

    `expected` is how many of them it will take on average, `met` the chance that the stop is then known within `goal_h`.
    """

    looks: tuple[PlannedLook, ...]
    expected: float
    met: float
    goal_h: float


def going(run: TestRun, hours: FloatArray) -> FloatArray:
    """The chance of still going at these hours, seen going at `seen_h`: a clean run, or one that is not what it seems."""
    shares = _unseen(run, np.append(hours, run.seen_h))
    left: FloatArray = np.minimum(1.0, shares[:-1] / shares[-1])
    return left


def likely_h(run: TestRun) -> tuple[float, float]:
    """The hours between which it stops, all but HARDLY either side."""
    ratio = np.geomspace(0.05, _LONGEST, 400)
    hours = np.unique(np.append(ratio * max(run.scale_h, run.seen_h), max(run.seen_h, 1e-6)))
    hours = hours[hours >= run.seen_h]
    stopped = 1.0 - going(run, hours)
    low, high = np.interp([HARDLY, 1.0 - HARDLY], np.maximum.accumulate(stopped), hours)
    return float(low), float(high)


@lru_cache(maxsize=256)
def plan_looks(run: TestRun, possible_h: tuple[float, ...]) -> LookPlan | None:
    """The looks to make of those that are possible (hours since the wind, ascending); None where none of them tells anything.

    Of all ways to look the one that takes least: each look counts as one, a stop known less closely than it is to be as
    WORTH_LOOKS for each doubling, waiting as WAIT_LOOKS_AN_HOUR.
    """
    times = _times(possible_h, *likely_h(run), run.seen_h)
    if not times:
        return None
    at = np.array([run.seen_h, *times])
    share = going(run, at)
    loss, met = _told(run, at)
    count = at.size
    cost, known, taken = np.zeros(count), np.zeros(count), np.zeros(count)
    chosen = np.zeros(count, dtype=int)
    cost[-1] = share[-1] * NOT_TOLD_LOOKS
    for i in range(count - 2, -1, -1):
        wait = 1.0 + WAIT_LOOKS_AN_HOUR * (at[i + 1 :] - at[i])
        options = share[i] * wait + loss[i, i + 1 :] + cost[i + 1 :]
        j = i + 1 + int(np.argmin(options))
        chosen[i], cost[i] = j, options[j - i - 1]
        taken[i], known[i] = share[i] + taken[j], met[i, j] + known[j]
    looks, i = list[PlannedLook](), 0
    while i < count - 1:
        i = int(chosen[i])
        looks.append(PlannedLook(float(at[i]), 1.0 - float(share[i])))
    return LookPlan(tuple(looks), float(taken[0]), float(known[0]), run.goal_h)


def read_width_h(run: TestRun, stopped_h: float, seen_h: float, look_h: float) -> float:
    """How closely the stop is known that is found at a look: hours between the earliest and the latest it can have been.

    Of the moments that the hands allow those count that are likely; without hands it is the time between the looks.
    """
    if run.hands is None:
        return look_h - seen_h
    first, last = (math.floor((each - stopped_h) / run.hands.dial_hours) for each in (seen_h, look_h))
    every = [stopped_h + rounds * run.hands.dial_hours for rounds in range(first, last + 1)]
    moments = [
        moment
        for moment in every
        if seen_h < moment <= look_h and (not run.hands.dated or _day(run.hands, moment) == _day(run.hands, stopped_h))
    ]
    edges = np.array([[moment - 0.25, moment + 0.25] for moment in moments])
    shares = -np.diff(_unseen(run, np.maximum(edges.ravel(), 1e-6)).reshape(edges.shape), axis=1).ravel()
    likely = [moment for moment, share in zip(moments, shares, strict=True) if share >= UNLIKELY * shares.max()]
    return likely[-1] - likely[0] + _read_h(stopped_h)


def _unseen(run: TestRun, hours: FloatArray) -> FloatArray:
    """The chance of still going if it was never looked at."""
    logs = np.log(np.maximum(hours, 1e-9))
    clean = np.interp(logs, np.log(run.curve.hours), np.array(run.curve.still_going), left=1.0, right=0.0)
    odd = 1.0 - normal.cdf((logs - math.log(run.scale_h) - ODD_CENTRE) / ODD_SPREAD)
    shares: FloatArray = (1.0 - ODD_SHARE) * clean + ODD_SHARE * odd + 1e-12
    return shares


def _times(possible_h: Sequence[float], low_h: float, high_h: float, seen_h: float) -> list[float]:
    """The possible looks that can tell anything: from the last before it may have stopped to the first at which it must have."""
    ahead = [hours for hours in possible_h if hours > seen_h]
    before = [hours for hours in ahead if hours <= low_h][-1:]
    inside = [hours for hours in ahead if low_h < hours < high_h]
    after = [hours for hours in ahead if hours >= high_h][:1]
    every = math.ceil(len(inside) / MOST_TIMES) or 1
    return [*before, *inside[::every], *after]


def _told(run: TestRun, at: FloatArray) -> tuple[FloatArray, FloatArray]:
    """For each look (column) after each last one that saw it going (row): what is lost where it is found stopped.

    In looks, weighed by its chance; and the chance that it is then known closely enough.
    """
    if run.hands is None:
        share = going(run, at)
        mass, width = share[:, None] - share[None, :], at[None, :] - at[:, None]
        lost = WORTH_LOOKS * np.log2(np.maximum(width, run.goal_h) / run.goal_h)
        return np.maximum(mass, 0.0) * lost, np.maximum(mass, 0.0) * (width <= run.goal_h)
    return _told_by_hands(run, run.hands, at)


def _told_by_hands(run: TestRun, hands: HandsTell, at: FloatArray) -> tuple[FloatArray, FloatArray]:
    cells = _cells(run, hands, at)
    loss, met = np.zeros((at.size, at.size)), np.zeros((at.size, at.size))
    for i in range(at.size - 1):
        for j in range(i + 1, at.size):
            loss[i, j], met[i, j] = cells.told(int(cells.place[i]), int(cells.place[j]), run.goal_h)
    return loss, met


@dataclass(frozen=True, slots=True)
class _Cells:
    """The time in which it may stop, cut into cells: those that look alike on the hands lie in one row of a table.

    `mass` is the chance of each cell, `row` and `column` its place in the table, `place` the cell of each look, `width_h`
    how closely hands are read at best.
    """

    mass: FloatArray
    row: "np.ndarray[tuple[int], np.dtype[np.intp]]"
    column: "np.ndarray[tuple[int], np.dtype[np.intp]]"
    place: "np.ndarray[tuple[int], np.dtype[np.intp]]"
    dial_hours: int
    width_h: float

    def told(self, first: int, last: int, goal_h: float) -> tuple[float, float]:
        """What is lost if it stopped within these cells, and the chance that it is known closely enough."""
        table = np.zeros((int(self.row.max()) + 1, int(self.column.max()) + 1))
        table[self.row[first:last], self.column[first:last]] = self.mass[first:last]
        whole = table.sum(axis=1)
        likely = (table >= UNLIKELY * table.max(axis=1)[:, None]) & (table > 0.0)
        rounds = table.shape[1] - 1 - likely[:, ::-1].argmax(axis=1) - likely.argmax(axis=1)
        width = np.where(whole > 0.0, rounds, 0) * self.dial_hours + self.width_h
        lost = WORTH_LOOKS * np.log2(np.maximum(width, goal_h) / goal_h)
        return float(whole @ lost), float(whole @ (width <= goal_h))


def _cells(run: TestRun, hands: HandsTell, at: FloatArray) -> _Cells:
    start, span = float(at[0]), float(at[-1] - at[0])
    fits = (each for each in CELLS_A_ROUND if span / hands.dial_hours * each <= MOST_CELLS)
    a_round = next(fits, CELLS_A_ROUND[-1])
    size = hands.dial_hours / a_round
    count = math.ceil(span / size) + 1
    edges: FloatArray = start + size * np.arange(count + 1, dtype=np.float64)
    index = np.arange(count)
    row, column = index % a_round, index // a_round
    if hands.dated:
        day = np.array([_day(hands, hours) for hours in edges[:-1] + size / 2.0])
        row = row + a_round * (day - day[0])
        column = np.array([int((row[:k] == row[k]).sum()) for k in index])
    return _Cells(
        mass=-np.diff(going(run, edges)),
        row=row,
        column=column,
        place=np.round((at - start) / size).astype(np.intp),
        dial_hours=hands.dial_hours,
        width_h=_read_h(run.scale_h),
    )


def _day(hands: HandsTell, hours: float) -> int:
    return math.floor((hours + hands.clock_h) / 24.0)


def _read_h(hours: float) -> float:
    """How closely hands are read so long after they were set, either side together, hours."""
    return 2.0 * (TOLERANCE.total_seconds() / _H + DRIFT * hours)
