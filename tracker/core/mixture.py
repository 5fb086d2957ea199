"""What rows say at every point of a lattice, compiled: here an estimate spends most of its time.

Numba compiles it when it is first called (some seconds), and keeps the outcome beside this file or in the user's cache
folder.
"""

import math
from collections.abc import Callable
from functools import partial
from typing import NamedTuple, TypeVar

import numpy as np
from numba import njit
from numpy.typing import NDArray

from tracker.core.normal import FloatArray, Floats
from tracker.core.rows import Places, Rows

REACH = 7.0
"""Standard deviations from an edge beyond which it is passed, or not, for sure."""
LEAST_WIDE = 0.5
"""An interval about a moment is taken between its two edges if the scatter is less than this share of it."""
WIDER = REACH / math.sqrt(12.0)
"""Lengths of a moment by which it reaches further than one without any, at most."""
SMOOTH = 0.25
"""What rows of nearly one age say is tabled at steps of so many scatters, and read between them along each slope …"""
NEARLY = 0.1
"""… where the slopes part the ages by no more scatters than this, …"""
PARTS = 200
"""… and they lie within one of so many parts of all ages: the slope is then right to a two-hundredth of what is known of it."""
READING = 0.6
"""Cost of reading a level from a table, beside that of working it out for one edge …"""
EACH = 15.0
"""… and of an edge itself, whatever its levels."""
FLOOR = 1e-18
"""Nothing is less likely than this."""
TOGETHER = 16
"""So many rows are multiplied before a logarithm is taken: of so few that is no 0 yet."""
STEPS = 1250.0
"""Points of the tables of the normal on a standard deviation; read straight between them they are right to 2e-7."""
_END = REACH + 1.0
_LAST = np.float32(2.0 * _END * STEPS - 1.0)


Function = TypeVar("Function", bound=Callable[..., object])


def _compiled(function: Function) -> Function:
    compile_as = partial(njit, function, error_model="numpy", fastmath=True)
    try:
        return compile_as(cache=True)
    except RuntimeError:
        # There is nowhere to keep it: then it is compiled by each process anew.
        return compile_as()


def _tables() -> tuple[Floats, Floats]:
    """Cdf and density, each with how much it rises to the next point.

    Singles: a core works on twice as many at once.
    """
    z = np.arange(-_END * STEPS, _END * STEPS + 1.0) / STEPS
    cdf = np.array([0.5 * math.erfc(-each / math.sqrt(2.0)) for each in z])
    pdf = np.exp(-0.5 * z * z) / math.sqrt(2.0 * math.pi)
    rising = [np.stack([values, np.append(np.diff(values), 0.0)]).astype(np.float32) for values in (cdf, pdf)]
    return rising[0], rising[1]


_CDF, _PDF = _tables()


class Told(NamedTuple):
    """Rows as of tracker.core.rows, each with its `stretch` and its age from the plane's in `years`.

    `below` is the log of its mixture far below all its edges. Of each edge `left` is what is said for sure between it and
    the next one, far from both, and `above` the log of the mixture there.
    """

    stretch: Places
    weight: FloatArray
    years: FloatArray
    odd: FloatArray
    below: FloatArray
    first: Places
    until: Places
    moment: NDArray[np.bool_]
    edge: FloatArray
    sign: FloatArray
    width: FloatArray
    left: FloatArray
    above: FloatArray


def told(rows: Rows, bounds: FloatArray, at_age: float, odd_share: float) -> Told:
    """Make rows ready: `bounds` are the ages that part the stretches."""
    of_edge = np.zeros(rows.edge.size, dtype=np.intp)
    number = rows.until - rows.first
    within = np.repeat(rows.first - (np.cumsum(number) - number), number) + np.arange(number.sum())
    of_edge[within] = np.repeat(np.arange(rows.age.size), number)
    passed = np.where(rows.moments[of_edge], 0.0, rows.sign)
    rising = np.concatenate([[0.0], np.cumsum(passed)])
    left = rows.sure[of_edge] + rising[rows.until][of_edge] - rising[1:]
    odd = np.maximum(odd_share * rows.odd, FLOOR)
    below = np.log((1.0 - odd_share) * np.maximum(rows.sure + rising[rows.until] - rising[rows.first], 0.0) + odd)
    above = np.log((1.0 - odd_share) * np.maximum(left, 0.0) + odd[of_edge])
    stretch = np.searchsorted(bounds, rows.age, side="left")
    each = stretch, rows.weight, rows.age - at_age, odd, below, rows.first, rows.until
    return Told(*each, rows.moments[of_edge], rows.edge, rows.sign, rows.width, left, above)


class Lattice(NamedTuple):
    """Scatters, slopes, and levels from `low` on, a `cell` apart."""

    scatter: FloatArray
    slope: FloatArray
    low: float
    cell: float


class _Levels(NamedTuple):
    """Levels from `low` on, a `step` apart, for one scatter."""

    scatter: float
    low: float
    step: float


@_compiled
def add(total: FloatArray, told: Told, lattice: Lattice, clean_share: float) -> None:
    """Add the log of each row's mixture to its stretch of `total`: (stretch, scatter, slope, level)."""
    rows, slopes, low, cell, levels = told.stretch.size, lattice.slope, lattice.low, lattice.cell, total.shape[3]
    middle, wide = 0.5 * (slopes[0] + slopes[-1]), abs(slopes[-1] - slopes[0])
    years = max(abs(told.years[0]), abs(told.years[-1]))
    span = told.years[-1] - told.years[0]
    for i, scatter in enumerate(lattice.scatter):
        step = SMOOTH * scatter
        if cell > step:
            step = cell / math.ceil(cell / step)
        apart = min(NEARLY * scatter / wide if wide > 0.0 else span, span / PARTS)
        points = (cell * (levels - 1) + 0.5 * years * wide) / step + 4.0
        groups = min(rows, total.shape[0] + (span / apart if apart > 0.0 else 0.0))
        near = 2.0 * REACH * scatter
        plainly = rows * slopes.size * (EACH + min(levels, near / cell))
        tabled = rows * (EACH + min(points, near / step)) + READING * groups * slopes.size * levels
        begin = 0
        while begin < rows:
            end = begin + 1
            while (
                end < rows
                and told.stretch[end] == told.stretch[begin]
                and (plainly <= tabled or told.years[end] - told.years[begin] <= apart)
            ):
                end += 1
            here = total[told.stretch[begin], i]
            if plainly <= tabled:
                for j, slope in enumerate(slopes):
                    _fill(here[j], told, (begin, end, slope, 0.0), _Levels(scatter, low, cell), clean_share)
            else:
                age = told.years[begin:end].mean()
                first = low + min(slopes[0] * age, slopes[-1] * age) - step
                table = np.zeros(int((cell * (levels - 1) + abs(age) * wide) / step) + 6)
                _fill(table, told, (begin, end, middle, age), _Levels(scatter, first, step), clean_share)
                for j, slope in enumerate(slopes):
                    _read(here[j], table, (low + slope * age - first) / step, cell / step)
            begin = end


@_compiled
def _fill(
    table: FloatArray, told: Told, part: tuple[int, int, float, float], levels: _Levels, clean_share: float
) -> None:
    """Add what some rows say together at some levels: `part` are the first and the last but one, a slope, and an age.

    They are moved along the slope to that age. Far from all its edges what a row says changes in steps only, which are
    summed up at last.
    """
    from_row, to_row, slope, age = part
    size = table.size
    clean, product, steps = np.empty(size, np.float32), np.ones(size), np.zeros(size + 1)
    count, since, until = 0, size, 0
    for row in range(from_row, to_row):
        moved = _Levels(levels.scatter, levels.low + slope * (told.years[row] - age), levels.step)
        weight, odd = told.weight[row], told.odd[row]
        said, done = weight * told.below[row], 0
        steps[0] += said
        edge, last = told.first[row], told.until[row]
        while edge < last:
            begin, end, beyond = _together(told, (edge, last), moved, done, size)
            steps[begin] -= said
            if begin < end:
                some = clean[: end - begin]
                some[:] = told.left[beyond - 1]
                here = _Levels(moved.scatter, moved.low + begin * moved.step, moved.step)
                for each in range(edge, beyond):
                    _say(some, told, each, here)
                for level in range(begin, end):
                    product[level] *= clean_share * max(clean[level - begin], np.float32(0.0)) + odd
                since, until = min(since, begin), max(until, end)
            said = weight * told.above[beyond - 1]
            steps[end] += said
            done, edge = end, beyond
        count += 1
        if count == TOGETHER or row + 1 == to_row or told.weight[row + 1] != weight:
            for level in range(since, until):
                table[level] += weight * math.log(product[level])
                product[level] = 1.0
            count, since, until = 0, size, 0
    height = 0.0
    for level in range(size):
        height += steps[level]
        table[level] += height


@_compiled
def _together(told: Told, edges: tuple[int, int], levels: _Levels, done: int, size: int) -> tuple[int, int, int]:
    """The levels within reach of the first edge and of those after it that share some with it, and the edge after these."""
    begin, end = _within(told, edges[0], levels, done, size)
    for edge in range(edges[0] + 1, edges[1]):
        next_begin, next_end = _within(told, edge, levels, done, size)
        if next_begin >= end:
            return begin, end, edge
        end = max(end, next_end)
    return begin, end, edges[1]


@_compiled
def _within(told: Told, edge: int, levels: _Levels, done: int, size: int) -> tuple[int, int]:
    """The levels, numbered from `done` to `size`, that are within reach of an edge."""
    place = (told.edge[edge] - levels.low) / levels.step
    reach = (REACH * levels.scatter + WIDER * told.width[edge]) / levels.step
    begin = min(max(place - reach, -1.0), size - 1.0)
    end = min(max(place + reach, -1.0), size - 1.0)
    return max(done, int(begin + 1.0)), max(done, int(end + 1.0))


@_compiled
def _say(clean: Floats, told: Told, edge: int, levels: _Levels) -> None:
    """Add what a clean run says of an edge at so many levels."""
    place, sign, wide, scatter = told.edge[edge] - levels.low, told.sign[edge], told.width[edge], levels.scatter
    if not told.moment[edge]:
        _look_up(clean, _CDF, (place / scatter, levels.step / scatter), sign)
    elif LEAST_WIDE * wide > scatter:
        _look_up(clean, _CDF, ((place + 0.5 * wide) / scatter, levels.step / scatter), sign)
        _look_up(clean, _CDF, ((place - 0.5 * wide) / scatter, levels.step / scatter), -sign)
    else:
        # An even spread over an interval widens a normal by a twelfth of its length squared.
        spread = math.sqrt(scatter * scatter + wide * wide / 12.0)
        height = sign * (wide if wide > 0.0 else 1.0) / spread
        _look_up(clean, _PDF, (place / spread, levels.step / spread), height)


@_compiled
def _look_up(clean: Floats, table: Floats, along: tuple[float, float], height: float) -> None:
    """Add what a table of the normal holds at a number of standard deviations and so many less each time, times a height."""
    first, step = np.float32((along[0] + _END) * STEPS), np.float32(along[1] * STEPS)
    value, rise, times = table[0], table[1], np.float32(height)
    for level in range(clean.size):
        place = min(max(first - np.float32(level) * step, np.float32(0.0)), _LAST)
        index = np.int32(place)
        clean[level] += times * (value[index] + (place - np.float32(index)) * rise[index])


@_compiled
def _read(total: FloatArray, table: FloatArray, place: float, step: float) -> None:
    """Add what stands in a table at `place` and each `step` further (a whole number, or less than one of its points).

    By cubics through four points: their coefficients hold for all levels between the same two, or for all the same way
    from one to the next.
    """
    if step >= 1.0:
        first, stride = int(place), int(step + 0.5)
        share = place - first
        before, after, inner = 1.0 + share, 2.0 - share, share * (share - 1.0) / 6.0
        one, two = inner * after, 0.5 * before * after * (1.0 - share)
        three, four = 0.5 * before * after * share, inner * before
        for level in range(total.size):
            at = first + stride * level
            total[level] += one * table[at - 1] + two * table[at] + three * table[at + 1] + four * table[at + 2]
        return
    level = 0
    while level < total.size:
        at = int(place + level * step)
        one, two, three, four = table[at - 1], table[at], table[at + 1], table[at + 2]
        linear, square, cube = (
            three - 0.5 * two - one / 3.0 - four / 6.0,
            0.5 * (one + three) - two,
            (four - one) / 6.0 + 0.5 * (two - three),
        )
        until = min(total.size, max(level + 1, math.ceil((at + 1 - place) / step)))
        for each in range(level, until):
            share = place - at + each * step
            total[each] += two + share * (linear + share * (square + share * cube))
        level = until
