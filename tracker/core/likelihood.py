"""What the runs say about level, slope and scatter: the log-likelihood of log-normal run-downs, censoring kept."""

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tracker.core import normal, tally
from tracker.core.normal import FloatArray, Floats
from tracker.core.rows import ODD_CENTRE, ODD_SHARE, ODD_SPREAD, Batch, Rows, Run, rows_of

__all__ = ["ODD_CENTRE", "ODD_SHARE", "ODD_SPREAD", "Batch", "Plane", "Rows", "Run", "log_likelihood", "rows_of"]

NEARLY = 1.0
"""Ages that the steepest slope of a plane parts by no more than this many cells of the level's axis count as one …"""
APART = 2.0
"""… and others count for two ages on either side, parted by no more cells than that."""
MOST = 24
"""… of which there are at most so many."""
SMOOTH = 0.25
"""What a run says is tabled at steps of this share of the least scatter, if the plane's own are finer."""
COARSE = 0.25
"""No scatter is tabled at longer steps than this many of itself: so coarse a table holds nothing of what runs say."""
READING = 0.6
"""Cost of reading from a table, beside that of working out what one edge says at one point."""
MOMENT = 0.5
"""Cost of working out what a moment says at one point, …"""
SET_UP = 100_000.0
"""… and of setting tables up at all, counted likewise: for few rows it is more than they cost."""
FINER = 4
"""Points of the table for a cell of the plane's, between which it is read straight."""
LEAST_WIDE = 0.5
"""An interval about a moment is taken between its two edges if the least scatter is less than this share of it."""
REACH = 6.0
"""Standard deviations beyond which an edge is passed, or not, for sure: to 1e-9."""
_BLOCK = 48_000
"""Values worked at once: what stays in a core's cache."""
_FLOOR = 1e-30


@dataclass(frozen=True, slots=True, eq=False)
class Plane:
    """A lattice of log scatter, slope per year and level (of log(T / scale), at age `at_age`), each evenly spaced.

    Every array over it has its axes in this order: scatter, slope, level.
    """

    log_sigma: FloatArray
    slope: FloatArray
    level: FloatArray
    at_age: float

    @property
    def shape(self) -> tuple[int, int, int]:
        """Points along each axis."""
        return self.log_sigma.size, self.slope.size, self.level.size

    @property
    def smooth(self) -> float:
        """Step of the level at which what a run says can be tabled."""
        return SMOOTH * math.exp(self.log_sigma[0])

    @property
    def cell(self) -> float:
        """Spacing of the level's points."""
        return float(self.level[-1] - self.level[0]) / (self.level.size - 1) if self.level.size > 1 else self.smooth

    def level_at(self, age_years: float) -> FloatArray:
        """Level at another age: an array over (slope, level)."""
        moved: FloatArray = self.slope[:, None] * (age_years - self.at_age) + self.level
        return moved


def log_likelihood(
    rows: Rows, plane: Plane, splits: FloatArray | None = None, *, odd_share: float = ODD_SHARE
) -> FloatArray:
    """Log-likelihood over the plane, of each stretch of ages between `splits` (ages, ascending) by itself.

    Returns an array (stretch, scatter, slope, level); a row whose age equals a split belongs before it. Densities are
    per unit of log hours. Many rows with one edge are counted (tracker.core.tally). What others of nearly one age say of
    the level at that age is tabled once for each scatter; each slope reads it at another place.
    """
    bounds = np.zeros(0) if splits is None else splits
    total = np.zeros((bounds.size + 1, *plane.shape))
    many = [batch for batch in rows.batches if plane.level.size > 1 and tally.worth_counting(batch)]
    for batch in many:
        place = batch.edge - (batch.age - plane.at_age)[:, None] * plane.slope - plane.level[0]
        edges = tally.edges_of(batch, np.searchsorted(bounds, batch.age, side="left"), place, odd_share)
        tally.add(total, edges, np.exp(plane.log_sigma), plane.cell)
    rows = rows.without(many)
    if not rows.batches:
        return total
    coarse = _coarse(rows, plane, bounds.size + 1)
    if coarse:
        _add_plainly(total[:, :coarse], rows, replace(plane, log_sigma=plane.log_sigma[:coarse]), bounds, odd_share)
    if coarse < plane.log_sigma.size:
        _add_tabled(total[:, coarse:], rows, replace(plane, log_sigma=plane.log_sigma[coarse:]), bounds, odd_share)
    return total


def _coarse(rows: Rows, plane: Plane, stretches: int) -> int:
    """How many of the scatters, least first, it costs more to table than to work out at every point of the plane."""
    if plane.level.size == 1:
        return 0
    years = max(plane.at_age - float(rows.ages[0]), float(rows.ages[-1]) - plane.at_age)
    reach = float(plane.level[-1] - plane.level[0]) + years * float(plane.slope[-1] - plane.slope[0])
    step = np.minimum(plane.cell, COARSE * np.exp(plane.log_sigma))
    edges = sum(batch.edge.size * (MOMENT if batch.dense else 1.0) for batch in rows.batches)
    points = plane.slope.size * plane.level.size
    tabled = edges * reach / step + READING * points * min(rows.ages.size, stretches + MOST)
    number = np.arange(step.size + 1)
    cost = number * (edges * points) + number[::-1] * np.append(tabled, 0.0)
    cost[:-1] += SET_UP
    return int(cost.argmin())


def _near(total: FloatArray, rows: Rows, plane: Plane, bounds: FloatArray, odd_share: float) -> Rows:
    """The rows without edges so far from all levels of the plane that they say the same everywhere.

    What rows without any edge left say is added at once.
    """
    moved = np.multiply.outer(rows.ages - plane.at_age, plane.slope[[0, -1]])
    reach = REACH * math.exp(plane.log_sigma[-1])
    rows = rows.near(plane.level[0] + moved.min(1) - reach, plane.level[-1] + moved.max(1) + reach)
    for batch in rows.batches:
        if batch.edge.shape[1] == 0:
            said = np.log((1.0 - odd_share) * batch.sure + np.maximum(odd_share * batch.odd, _FLOOR))
            stretch = np.searchsorted(bounds, batch.age, side="left")
            total += np.bincount(stretch, batch.weight * said, len(total))[:, None, None, None]
    return replace(rows, batches=tuple(batch for batch in rows.batches if batch.edge.shape[1]))


def _add_plainly(total: FloatArray, rows: Rows, plane: Plane, bounds: FloatArray, odd_share: float) -> None:
    """Add what every row says at every point of the plane: a row for each slope, its edges moved along it."""
    rows = _near(total, rows, plane, bounds, odd_share)
    stretch, slopes = np.searchsorted(bounds, rows.ages, side="left"), plane.slope.size
    said = np.zeros((total.shape[0] * slopes, plane.log_sigma.size, plane.level.size))
    for batch in rows.batches:
        moved = batch.edge - (plane.slope[:, None] * (batch.age - plane.at_age))[:, :, None]
        node = (stretch[batch.of_age] * slopes + np.arange(slopes)[:, None]).ravel()
        order = np.argsort(node, kind="stable")
        each = replace(batch.of_rows(order % batch.age.size), edge=moved.reshape(order.size, -1)[order])
        _add_whole(said, each, node[order], (np.exp(plane.log_sigma), plane.level), odd_share)
    total += said.reshape(total.shape[0], slopes, *said.shape[1:]).swapaxes(1, 2)


def _add_tabled(total: FloatArray, rows: Rows, plane: Plane, bounds: FloatArray, odd_share: float) -> None:
    """Add what the rows say, tabled at the nodes."""
    rows = _near(total, rows, plane, bounds, odd_share)
    slope, cell = 0.5 * float(plane.slope[0] + plane.slope[-1]), plane.cell
    step = max(cell / math.ceil(cell / (COARSE * math.exp(plane.log_sigma[0]))), plane.smooth)
    nodes = _nodes(rows, plane, min(step, cell), bounds)
    moved = (plane.slope - slope) * (nodes.age - plane.at_age)[:, None]
    below, above = -float(moved.min()), float(plane.level[-1] - plane.level[0] + moved.max())
    level = plane.level[0] + step * np.arange(-math.ceil(below / step) - 1, math.ceil(above / step) + 3)
    table = np.zeros((nodes.age.size, plane.log_sigma.size, level.size))
    for batch in rows.batches:
        along = replace(batch, edge=batch.edge - slope * (batch.age - plane.at_age)[:, None])
        told = _Told(along, nodes.of_age[batch.of_age], nodes.beyond[batch.of_age])
        _add(table, told, np.exp(plane.log_sigma), level, odd_share)
    parts = math.ceil(FINER * max(1.0, step / cell))
    _read(total, nodes.stretch, _finer(table, parts), (parts / step) * (moved[:, :, None] + (plane.level - level[1])))


@dataclass(frozen=True, slots=True, eq=False)
class _Nodes:
    """Ages for which there are tables, each in one stretch; for each distinct age of the rows the node before it.

    A row that lies `beyond` of the way to the next node counts for both by its nearness.
    """

    age: FloatArray
    stretch: NDArray[np.intp]
    of_age: NDArray[np.intp]
    beyond: FloatArray


def _nodes(rows: Rows, plane: Plane, step: float, bounds: FloatArray) -> _Nodes:
    """A node at the mean age of a stretch that the steepest slope hardly moves; else at each age, or evenly if fewer."""
    stretch = np.searchsorted(bounds, rows.ages, side="left")
    first = np.flatnonzero(np.diff(stretch, prepend=-1))
    number = np.diff(first, append=stretch.size)
    span = rows.ages[first + number - 1] - rows.ages[first]
    steps = span * (0.5 * float(plane.slope[-1] - plane.slope[0]) / step)
    parts = np.where(steps > NEARLY, np.minimum(np.ceil(steps / APART), MOST), 0.0).astype(np.intp)
    own = number <= parts + 1
    size = np.where(own, number, parts + 1)
    begin = np.cumsum(size) - size
    of_node, of_age = np.repeat(np.arange(first.size), size), np.repeat(np.arange(first.size), number)
    mean = np.add.reduceat(rows.counts * rows.ages, first) / np.add.reduceat(rows.counts, first)
    start, width = np.where(parts > 0, rows.ages[first], mean), span / np.maximum(parts, 1)
    nth = np.arange(of_node.size) - begin[of_node]
    there = rows.ages[np.where(own[of_node], first[of_node] + nth, 0)]
    age = np.where(own[of_node], there, start[of_node] + width[of_node] * nth)
    since = np.divide(rows.ages - start[of_age], width[of_age], out=np.zeros(of_age.size), where=parts[of_age] > 0)
    since = np.where(own[of_age], np.arange(of_age.size) - first[of_age], since)
    before = np.minimum(since.astype(np.intp), np.where(own, size - 1, np.maximum(size - 2, 0))[of_age])
    return _Nodes(age, stretch[first][of_node], begin[of_age] + before, since - before)


def _add_whole(
    table: FloatArray, batch: Batch, node: NDArray[np.intp], axes: tuple[FloatArray, FloatArray], odd_share: float
) -> None:
    """Add the log of each row's mixture over (scatter, level) to the table of its node alone; `node` ascends."""
    sigma, level = axes
    step = max(1, _BLOCK // (batch.edge.shape[1] * sigma.size * level.size))
    for start in range(0, node.size, step):
        part = slice(start, start + step)
        first = np.flatnonzero(np.diff(node[part], prepend=-1))
        terms = _log_terms(batch.of_rows(part), sigma, level, odd_share)
        terms *= batch.weight[part, None, None].astype(terms.dtype)
        table[node[part][first]] += np.add.reduceat(terms, first, axis=0)


@dataclass(frozen=True, slots=True, eq=False)
class _Told:
    """Rows, their edges moved along a slope to one age, and for each the node before it and how far it lies beyond."""

    batch: Batch
    node: NDArray[np.intp]
    beyond: FloatArray


def _add(table: FloatArray, told: _Told, sigma: FloatArray, level: FloatArray, odd_share: float) -> None:
    """Add the log of each row's mixture to the tables (node, scatter, level) of the nodes about it."""
    step = max(1, _BLOCK // (told.batch.edge.shape[1] * sigma.size * level.size))
    for start in range(0, told.node.size, step):
        part = slice(start, start + step)
        first = told.node[start]
        node, which = told.node[part] - first, np.arange(told.node[part].size)
        share = np.zeros((node[-1] + 2, node.size))
        share[node, which] = told.batch.weight[part] * (1.0 - told.beyond[part])
        share[node + 1, which] = told.batch.weight[part] * told.beyond[part]
        here = table[first : first + node[-1] + 2]
        terms = _log_terms(told.batch.of_rows(part), sigma, level, odd_share)
        here += (share[: len(here)].astype(terms.dtype) @ terms.reshape(len(terms), -1)).reshape(here.shape)


def _finer(table: FloatArray, parts: int) -> FloatArray:
    """So many points for each along the last axis, from the second to the last but one, by cubics through four.

    Where the four rise or fall throughout, the cubic stays between its two: it must not shoot over a steep edge.
    """
    share = np.arange(parts) / parts
    before, after, inner = 1.0 + share, 2.0 - share, share * (share - 1.0) / 6.0
    cubics = np.stack(
        [inner * after, before * after * (1.0 - share) / 2.0, before * after * share / 2.0, inner * before]
    )
    four = np.lib.stride_tricks.sliding_window_view(table, 4, axis=2)
    fine: FloatArray = (four.reshape(-1, 4) @ cubics).reshape(*four.shape[:3], parts)
    rise = table[:, :, 1:] - table[:, :, :-1]
    turning = (rise[:, :, :-2] * rise[:, :, 1:-1] < 0.0) | (rise[:, :, 1:-1] * rise[:, :, 2:] < 0.0)
    low, high = (extreme(table[:, :, 1:-2], table[:, :, 2:-1]) for extreme in (np.minimum, np.maximum))
    np.maximum(fine, np.where(turning, -np.inf, low)[:, :, :, None], out=fine)
    np.minimum(fine, np.where(turning, np.inf, high)[:, :, :, None], out=fine)
    return fine.reshape(*table.shape[:2], -1)


def _read(total: FloatArray, stretch: NDArray[np.intp], table: FloatArray, place: FloatArray) -> None:
    """Add to each stretch what its groups say at their places in the table: straight between its points."""
    rise = np.diff(table, axis=2, append=0.0)
    index = place.astype(np.intp)
    share = place - index
    for where, said, rising, at, beyond in zip(stretch, table, rise, index, share, strict=True):
        between = rising.take(at, axis=1)
        between *= beyond
        between += said.take(at, axis=1)
        total[where] += between


def _log_terms(batch: Batch, sigma: FloatArray, level: FloatArray, odd_share: float) -> Floats:
    """Log of each row's mixture: (row, scatter, level); over a lattice in singles, which are twice as fast."""
    clean = _of_moments(batch, sigma, level) if batch.dense else _of_edges(batch, sigma, level)
    clean *= 1.0 - odd_share
    clean += np.maximum(odd_share * batch.odd, _FLOOR)[:, None, None].astype(clean.dtype)
    logs: Floats = np.log(clean, out=clean)
    return logs


def _kind(level: FloatArray) -> type[np.floating[Any]]:
    return np.float64 if level.size == 1 else np.float32


def _of_moments(batch: Batch, sigma: FloatArray, level: FloatArray) -> Floats:
    """What each row's intervals about its moments hold, or its density.

    An even spread over an interval widens a normal by a twelfth of its length squared; but one much longer than the least
    scatter is taken between its two edges.
    """
    long = LEAST_WIDE * batch.width.max(axis=0) > sigma[0]
    if long.all():
        return _of_edges(batch.with_ends(), sigma, level)
    held = _as_density(batch.of_edges(~long), sigma, level)
    if long.any():
        held += _of_edges(batch.of_edges(long).with_ends(), sigma, level)
    return held


def _as_density(batch: Batch, sigma: FloatArray, level: FloatArray) -> Floats:
    kind, width = _kind(level), batch.width
    stretch = 1.0 / np.sqrt(sigma * sigma + (width * width / 12.0)[:, :, None])
    away = (batch.edge[:, :, None] - level).astype(kind)
    held = away[:, :, None, :] * (math.sqrt(0.5) * stretch).astype(kind)[:, :, :, None]
    held *= held
    np.exp(np.negative(held, out=held), out=held)
    share = batch.sign * np.where(width > 0.0, width, 1.0) / math.sqrt(2.0 * math.pi)
    held *= (stretch * share[:, :, None]).astype(kind)[:, :, :, None]
    return held[:, 0] if held.shape[1] == 1 else held.sum(axis=1)


def _of_edges(batch: Batch, sigma: FloatArray, level: FloatArray) -> Floats:
    """The probability of what each row says.

    Edges and levels are measured from the middle of the levels, so that the difference of two singles keeps its worth.
    """
    kind, stretch, middle = _kind(level), normal.STEPS / sigma[:, None], 0.5 * (level[0] + level[-1])
    place = ((batch.edge[:, :, None, None] - middle) * stretch).astype(kind)
    signed = normal.cdf_at_place(place + (stretch * (middle - level) + normal.MIDDLE).astype(kind))
    signed *= batch.sign[:, :, None, None].astype(kind)
    clean: Floats = signed[:, 0] if signed.shape[1] == 1 else signed.sum(axis=1)
    clean += batch.sure[:, None, None].astype(kind)
    return np.maximum(clean, 0.0, out=clean)
