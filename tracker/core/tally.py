"""What many rows with one edge say together: counted by where their edges lie along each slope.

Such a row speaks by how far its edge lies above the level. So the rows of a stretch are, for each slope, counts at the
points of an even grid, and what they say at all levels is the product of the counts with a table of what one row says.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from tracker.core import normal
from tracker.core.normal import FloatArray
from tracker.core.rows import Batch

FINE = 1.0 / 3.0
"""The grid's step is at most this share of the scatter; an edge counts at the four points about it, as of a cubic."""
OCTAVES = 3
"""Scatters no further apart than two to this power share one grid, …"""
FEW = 10
"""… but none with one twice as large where a stretch has fewer edges than this: they hardly fill so fine a grid."""
ODD_STEP = 0.4
"""Rows are told apart by their log chance of saying this by error, in steps of at most so much: between two, both count."""
REACH = 8.6
"""Standard deviations from an edge at which all is said."""
MANY = 100
"""Fewer rows are not worth counting."""
_AT_ONCE = 6_000
"""Places of rows worked at once: what stays in a core's cache."""
_FLOOR = 1e-300

Places = NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class Sorts:
    """Kinds of rows that say the same but for where their edges lie: `sign`, `sure` and `odd` as of a Batch."""

    dense: bool
    clean_share: float
    sign: FloatArray
    sure: FloatArray
    odd: FloatArray

    def say(self, z: FloatArray, sigma: FloatArray) -> FloatArray:
        """Log of the mixture at edges so many standard deviations above the level, `z` (scatter, n): (sort, scatter, n)."""
        sure, sign, odd = (each[:, None, None] for each in (self.sure, self.sign, self.odd))
        clean = normal.pdf(z) / sigma[:, None] if self.dense else np.maximum(sure + sign * normal.cdf(z), 0.0)
        logs: FloatArray = np.log(self.clean_share * clean + np.maximum((1.0 - self.clean_share) * odd, _FLOOR))
        return logs


@dataclass(frozen=True, slots=True, eq=False)
class Edges:
    """Edges to be counted, in order of their stretch: each lies so far `beyond` its sort towards the next.

    `place` is how far the edge lies above the lattice's first level: (edge, slope).
    """

    sorts: Sorts
    sort: Places
    beyond: FloatArray
    weight: FloatArray
    stretch: Places
    place: FloatArray

    def parts(self) -> Iterator["Edges"]:
        """Some stretches after others, so many edges at once as fit."""
        first = np.flatnonzero(np.diff(self.stretch, prepend=-1))
        ends = np.append(first, self.stretch.size)
        nth = ends // max(1, _AT_ONCE // self.place.shape[1])
        for start, stop in pairwise([*first[np.flatnonzero(np.diff(nth[:-1], prepend=-1))], self.stretch.size]):
            some = slice(start, stop)
            told = self.sort[some], self.beyond[some], self.weight[some]
            yield Edges(self.sorts, *told, self.stretch[some], self.place[some])


def worth_counting(batch: Batch) -> bool:
    """Whether so many of its rows have one edge each, without a width."""
    return batch.edge.shape[1] == 1 and batch.age.size >= MANY and not batch.width.any()


def edges_of(batch: Batch, stretch: Places, place: FloatArray, odd_share: float) -> Edges:
    """Sort the rows of a batch with one edge each."""
    log_odd = np.log(np.maximum(batch.odd, _FLOOR))
    sort, beyond = np.zeros(log_odd.size, dtype=np.intp), np.zeros(log_odd.size)
    alike: list[int] = []
    odd: list[float] = []
    for sure in np.unique(batch.sure):
        own = np.flatnonzero(batch.sure == sure)
        low, high = float(log_odd[own].min()), float(log_odd[own].max())
        parts = max(1, math.ceil((high - low) / ODD_STEP))
        at = (log_odd[own] - low) * (parts / max(high - low, _FLOOR))
        nth = np.minimum(at.astype(np.intp), parts - 1)
        sort[own], beyond[own] = nth + len(odd), at - nth
        odd.extend(np.linspace(low, high, parts + 1).tolist())
        alike.extend([int(own[0])] * (parts + 1))
    sorts = Sorts(batch.dense, 1.0 - odd_share, batch.sign[alike, 0], batch.sure[alike], np.exp(odd))
    return Edges(sorts, sort, beyond, batch.weight, stretch, place)


def add(total: FloatArray, edges: Edges, sigma: FloatArray, cell: float) -> None:
    """Add what the rows say to an array (stretch, scatter, slope, level), the levels a `cell` apart."""
    octaves = OCTAVES if edges.stretch.size >= FEW * np.unique(edges.stretch).size else 1
    power = np.floor(np.log2(FINE * sigma / cell) / octaves).astype(np.intp) * octaves
    for each in np.unique(power):
        some = np.flatnonzero(power == each)
        part = slice(some[0], some[-1] + 1)
        for few in edges.parts():
            _add(total[:, part], few, _grid(sigma[part], cell, int(each)))


@dataclass(frozen=True, slots=True)
class _Grid:
    """The grid for some scatters. All is measured in a `unit` of which a step and a cell of the levels are whole numbers."""

    sigma: FloatArray
    unit: float
    per_step: int
    per_cell: int

    @property
    def reach(self) -> int:
        return math.ceil(REACH * float(self.sigma[-1]) / self.unit)


def _grid(sigma: FloatArray, cell: float, power: int) -> _Grid:
    """Its steps are two to this power of cells long."""
    per_step, per_cell = 2 ** max(power, 0), 2 ** max(-power, 0)
    return _Grid(sigma, cell / per_cell, per_step, per_cell)


def _add(total: FloatArray, edges: Edges, grid: _Grid) -> None:
    """Each line (stretch, slope) has a grid of its own that begins a whole number of cells above the first level."""
    levels, reach = total.shape[3], grid.reach
    place = np.clip(edges.place / grid.unit, -reach, reach + grid.per_cell * (levels - 1)) / grid.per_step
    first = np.flatnonzero(np.diff(edges.stretch, prepend=-1))
    nth = np.repeat(np.arange(first.size), np.diff(first, append=edges.stretch.size))
    begin = np.floor(np.minimum.reduceat(place, first, axis=0) / grid.per_cell).astype(np.intp)
    counts, sort, step = _counted(edges, place - (begin * grid.per_cell)[nth], nth)
    level = np.arange(levels) - (begin * grid.per_step).reshape(-1, 1)
    low = max(int(level.min()), -math.ceil((reach + grid.per_step) / grid.per_cell))
    high = max(low, min(int(level.max()), math.ceil((grid.per_step * int(step.max()) + reach) / grid.per_cell)))
    said = _said(edges.sorts, sort, grid.per_step * step - grid.per_cell * high, high - low, grid)
    # Singles: twice as fast as doubles, and right to far less than what the grid is wrong by.
    product = counts.astype(np.float32) @ said.reshape(sort.size, -1)
    product = product.reshape(len(counts), grid.sigma.size, -1)
    read = np.take_along_axis(product, (np.clip(level, low, high) - low)[:, None, :], axis=2)
    total[edges.stretch[first]] += read.reshape(first.size, -1, *read.shape[1:]).swapaxes(1, 2)


def _counted(edges: Edges, place: FloatArray, nth: Places) -> tuple[FloatArray, Places, Places]:
    """Counts (line, column) of edges at places from 0 on, in steps of their grids; sort and step of each column used."""
    below = place.astype(np.intp)
    steps = int(below.max()) + 4
    column = (edges.sort * steps)[:, None] + below
    used = np.zeros(edges.sorts.odd.size * steps, dtype=bool)
    for point in (*range(4), *range(steps, steps + 4)):
        used[column + point] = True
    kept, number = np.flatnonzero(used), np.cumsum(used) - 1
    line = ((nth * place.shape[1])[:, None] + np.arange(place.shape[1])) * kept.size
    size = (int(nth[-1]) + 1) * place.shape[1]
    weight = _cubic(place - below) * edges.weight[:, None]
    counts = np.zeros(size * kept.size)
    for first, share in ((column, 1.0 - edges.beyond), (column + steps, edges.beyond)):
        flat = (line + number[first]) + np.arange(4)[:, None, None]
        counts += np.bincount(flat.ravel(), (weight * share[:, None]).ravel(), counts.size)
    return counts.reshape(size, kept.size), kept // steps, kept % steps - 1


def _cubic(share: FloatArray) -> FloatArray:
    """Weights of the four points about a place so far beyond the second of them."""
    before, after, inner = 1.0 + share, 2.0 - share, share * (share - 1.0) / 6.0
    return np.stack([inner * after, before * after * (1.0 - share) / 2.0, before * after * share / 2.0, inner * before])


def _said(sorts: Sorts, sort: Places, least: Places, more: int, grid: _Grid) -> NDArray[np.float32]:
    """What a row of each column says at so many levels more than one, downwards: (column, scatter, level).

    Its edge lies `least` units above the highest of them; beyond REACH nothing changes.
    """
    wide = grid.per_cell * more + 1
    lowest, highest = int(least.min()), int(least.max()) + wide - 1
    low, high = (min(max(end, -grid.reach), grid.reach) for end in (lowest, highest))
    table = sorts.say(np.arange(low, high + 1) * (grid.unit / grid.sigma)[:, None], grid.sigma).astype(np.float32)
    table = table[:, :, np.clip(np.arange(lowest, highest + 1) - low, 0, high - low)]
    windows = np.lib.stride_tricks.sliding_window_view(table, wide, axis=2)[:, :, :, :: -grid.per_cell]
    said: NDArray[np.float32] = windows[sort[:, None], np.arange(grid.sigma.size), (least - lowest)[:, None]]
    return said
