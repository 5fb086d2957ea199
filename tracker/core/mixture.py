"""What rows say at every point of a lattice, compiled: here an estimate spends most of its time."""

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from tracker.core.compiled import compiled, logarithm, two_to
from tracker.core.normal import FloatArray, Floats
from tracker.core.rows import FLOOR, Places, Rows
from tracker.core.together import OneAge

REACH = 6.0
"""Standard deviations from an edge beyond which it is passed, or not, for sure: to 1e-9."""
LEAST_WIDE = 0.7
"""An interval about a moment is taken between its two edges if the scatter is less than this share of it."""
WIDER = REACH / math.sqrt(12.0)
"""Lengths of a moment by which it reaches further than one without any, at most."""
SMOOTH = 0.2
"""What rows of nearly one age say is tabled at steps of so many scatters, and read between them along each slope."""
READING = 0.3
"""Cost of reading a level from a table, beside that of working it out for one edge …"""
EACH = 15.0
"""… of an edge itself, whatever its levels, …"""
LOGARITHM = 2.0
"""… and of a logarithm."""
TOGETHER = 16
"""So many rows are multiplied before a logarithm is taken: of so few that is no 0 yet."""
_F = np.float32
"""Singles: a core works on twice as many at once."""
_ROOT_2, _ROOT_PI = math.sqrt(2.0), math.sqrt(math.pi)
_TWOS = math.sqrt(0.5 / math.log(2.0))
"""exp(-z²/2) is two to the power of -(z × this)²."""


class Told(NamedTuple):
    """Rows as of tracker.core.rows, each with its `stretch` and its age from the plane's in `years`.

    `below` is the log of its mixture far below all its edges. Of each edge `left` is what is said for sure between it and
    the next one, far from both, and `above` the log of the mixture there. A run is what the log says with a probability
    of `clean_share`.
    """

    clean_share: float
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
    odd = np.maximum(odd_share * rows.odd, FLOOR)
    far = _far(rows.sure, odd, rows.first, rows.until, rows.moments, rows.sign, 1.0 - odd_share)
    below, moment, left, above = far
    stretch = np.searchsorted(bounds, rows.age, side="left")
    each = stretch, rows.weight, rows.age - at_age, odd, below, rows.first, rows.until
    return Told(1.0 - odd_share, *each, moment, rows.edge, rows.sign, rows.width, left, above)


@compiled
def _far(  # noqa: PLR0917 -- numbers, not rows: see DEVELOPERS.md
    sure: FloatArray,
    odd: FloatArray,
    first: Places,
    until: Places,
    moments: NDArray[np.bool_],
    sign: FloatArray,
    clean_share: float,
) -> tuple[FloatArray, NDArray[np.bool_], FloatArray, FloatArray]:
    """What rows say far from their edges: `below`, and of each edge `moment`, `left` and `above` of `Told`."""
    below, moment = np.empty(sure.size), np.zeros(sign.size, np.bool_)
    left, above = np.zeros(sign.size), np.zeros(sign.size)
    for row in range(sure.size):
        said = sure[row]
        for edge in range(first[row], until[row]):
            said += 0.0 if moments[row] else sign[edge]
        below[row] = math.log(clean_share * max(said, 0.0) + odd[row])
        for edge in range(first[row], until[row]):
            said -= 0.0 if moments[row] else sign[edge]
            moment[edge], left[edge] = moments[row], said
            above[edge] = math.log(clean_share * max(said, 0.0) + odd[row])
    return below, moment, left, above


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


@compiled
def add(total: FloatArray, told: Told, lattice: Lattice, one_age: OneAge) -> None:
    """Add the log of each row's mixture to its stretch of `total`: (stretch, scatter, slope, level).

    For each scatter either every row is worked out along every slope; or rows of nearly one age together along the middle
    one, as a table in which each slope reads at another place: whichever is less work.
    """
    slopes, low, cell, height = lattice.slope, lattice.low, lattice.cell, lattice.cell * (total.shape[3] - 1)
    rows, wide, years = told.stretch.size, slopes[-1] - slopes[0], told.years
    for i, scatter in enumerate(lattice.scatter):
        plainly, step, apart = _less_work(total.shape, told, lattice, scatter, one_age)
        size = total.shape[3] if plainly else int((height + max(abs(years[0]), abs(years[-1])) * wide) / step) + 9
        table, work = np.empty(size), _Work(np.empty(size, np.float32), np.ones(size), np.zeros(size + 1))
        closer = np.empty(total.shape[3] + int(max(abs(years[0]), abs(years[-1])) * wide / cell) + 5)
        begin = 0
        while begin < rows:
            end = begin + 1
            while end < rows and told.stretch[end] == told.stretch[begin] and years[end] - years[begin] <= apart:
                end += 1
            here = total[told.stretch[begin], i]
            if plainly:
                for j, slope in enumerate(slopes):
                    _fill(here[j], told, _Part(begin, end, slope, 0.0), _Levels(scatter, low, cell), work)
            else:
                age = years[begin:end].mean()
                first = low + min(slopes[0] * age, slopes[-1] * age) - 2.0 * step
                some = table[: int((height + abs(age) * wide) / step) + 9]
                some[:] = 0.0
                part = _Part(begin, end, 0.5 * (slopes[0] + slopes[-1]), age)
                _fill(some, told, part, _Levels(scatter, first, step), work)
                apiece = step
                if cell < step:
                    # Read once at the levels' own distance, it is read for each slope with the same four weights throughout.
                    coarse, some = some, closer[: total.shape[3] + int(abs(age) * wide / cell) + 5]
                    some[:] = 0.0
                    _read(some, coarse, 2.0 - cell / step, cell / step)
                    first, apiece = first + 2.0 * step - cell, cell
                for j, slope in enumerate(slopes):
                    _read(here[j], some, (low + slope * age - first) / apiece, cell / apiece)
            begin = end


@compiled
def _less_work(
    shape: tuple[int, int, int, int], told: Told, lattice: Lattice, scatter: float, one_age: OneAge
) -> tuple[bool, float, float]:
    """Whether rows are worked out along every slope; else the step of their tables, and how far apart ages share one.

    `shape` is that of the total.
    """
    stretches, _, slopes, levels = shape
    years, edges, cell = told.years, (told.until - told.first).sum(), lattice.cell
    span, wide = years[-1] - years[0], lattice.slope[-1] - lattice.slope[0]
    step = SMOOTH * scatter
    if cell > step:
        step = cell / math.ceil(cell / step)
    apart = min(one_age.scatters * scatter / max(wide, 1e-300), span / one_age.parts)
    tables = min(years.size, stretches + span / max(apart, 1e-300))
    points = 9.0 + (cell * (levels - 1) + 0.5 * max(abs(years[0]), abs(years[-1])) * wide) / step
    near = 2.0 * REACH * scatter
    logs = LOGARITHM * max(1.0, years.size / TOGETHER)
    plainly = slopes * (edges * (EACH + min(levels, near / cell)) + logs * levels)
    tabled = edges * (EACH + min(points, near / step)) + tables * (LOGARITHM * points + READING * slopes * levels)
    return plainly <= tabled, step, span if plainly <= tabled else apart


class _Edge(NamedTuple):
    """An edge so far above the first level, and what it is."""

    place: float
    sign: float
    width: float
    moment: bool


class _Part(NamedTuple):
    """Rows from one on up to another, moved along a slope to one age."""

    begin: int
    end: int
    slope: float
    age: float


class _Work(NamedTuple):
    """Room for as many levels as there are: of no account, ones, and zeros (one more). It is left as it was found."""

    clean: Floats
    product: FloatArray
    steps: FloatArray


@compiled
def _fill(table: FloatArray, told: Told, part: _Part, levels: _Levels, work: _Work) -> None:
    """Add what some rows say together.

    Far from all its edges what a row says changes in steps only, which are summed up at last.
    """
    clean, product, steps = work
    size, count, since, until = table.size, 0, table.size, 0
    reach, height = REACH * levels.scatter, levels.step * (size - 1)
    for row in range(part.begin, part.end):
        low, weight, odd = levels.low + part.slope * (told.years[row] - part.age), told.weight[row], told.odd[row]
        edge, last = told.first[row], told.until[row]
        # Edges that every level has passed, or that none is within reach of, need no more than their count.
        while edge < last and told.edge[edge] - low + reach + WIDER * told.width[edge] < 0.0:
            edge += 1
        while edge < last and told.edge[last - 1] - low - reach - WIDER * told.width[last - 1] > height:
            last -= 1
        said, done = weight * (told.above[edge - 1] if edge > told.first[row] else told.below[row]), 0
        steps[0] += said
        while edge < last:
            begin, end = _within(told.edge[edge] - low, told.width[edge], levels, done, size)
            beyond = edge + 1
            while beyond < last:
                next_begin, next_end = _within(told.edge[beyond] - low, told.width[beyond], levels, done, size)
                if next_begin >= end:
                    break
                end, beyond = max(end, next_end), beyond + 1
            steps[begin] -= said
            if begin < end:
                some = clean[: end - begin]
                some[:] = told.left[beyond - 1]
                for each in range(edge, beyond):
                    place = told.edge[each] - low - begin * levels.step
                    _say(some, _Edge(place, told.sign[each], told.width[each], told.moment[each]), levels)
                _multiply(product[begin:end], some, told.clean_share, odd)
                since, until = min(since, begin), max(until, end)
            said = weight * told.above[beyond - 1]
            steps[end] += said
            done, edge = end, beyond
        count += 1
        if count == TOGETHER or row + 1 == part.end or told.weight[row + 1] != weight:
            _add_logs(table[since:until], product[since:until], weight)
            count, since, until = 0, size, 0
    _add_steps(table, steps)


@compiled
def _multiply(product: FloatArray, clean: Floats, clean_share: float, odd: float) -> None:
    for level in range(product.size):
        product[level] *= clean_share * max(clean[level], _F(0.0)) + odd


@compiled
def _add_logs(table: FloatArray, product: FloatArray, weight: float) -> None:
    """Add the weighed logarithms of products, and leave ones."""
    for level in range(table.size):
        table[level] += weight * logarithm(product[level])
        product[level] = 1.0


@compiled
def _add_steps(table: FloatArray, steps: FloatArray) -> None:
    """Add the sum of all steps up to each level, and leave zeros."""
    height = 0.0
    for level in range(table.size):
        height += steps[level]
        table[level] += height
    steps[:] = 0.0


@compiled
def _within(place: float, wide: float, levels: _Levels, done: int, size: int) -> tuple[int, int]:
    """The levels, numbered from `done` to `size`, that are within reach of an edge."""
    at, reach = place / levels.step, (REACH * levels.scatter + WIDER * wide) / levels.step
    begin, end = min(max(at - reach, -1.0), size - 1.0), min(max(at + reach, -1.0), size - 1.0)
    return max(done, int(begin + 1.0)), max(done, int(end + 1.0))


@compiled
def _say(clean: Floats, edge: _Edge, levels: _Levels) -> None:
    """Add what a clean run says of an edge at so many levels."""
    place, sign, wide, scatter = edge.place, edge.sign, edge.width, levels.scatter
    if not edge.moment:
        add_cdf(clean, place / scatter, levels.step / scatter, sign)
    elif LEAST_WIDE * wide > scatter:
        add_cdf(clean, (place + 0.5 * wide) / scatter, levels.step / scatter, sign)
        add_cdf(clean, (place - 0.5 * wide) / scatter, levels.step / scatter, -sign)
    else:
        # An even spread over an interval widens a normal by a twelfth of its length squared.
        spread = math.sqrt(scatter * scatter + wide * wide / 12.0)
        height = sign * (wide if wide > 0.0 else 1.0) / spread
        add_pdf(clean, place / spread, levels.step / spread, height)


@compiled
def add_cdf(clean: Floats, z: float, step: float, height: float) -> None:
    """Add the normal cdf at z and a step less each time, times a height: right to 2e-7.

    By a rational approximation of erf up to 4 (its figures are from memory; a test lays it beside scipy): far quicker than
    a table, for a core works out eight at once.
    """
    first, less, times = _F(z / _ROOT_2), _F(step / _ROOT_2), _F(0.5 * height)
    for level in range(clean.size):
        x = min(max(first - _F(level) * less, _F(-4.0)), _F(4.0))
        q = x * x
        over = _F(2.77068142495902e-08) + q * _F(-2.72614225801306e-10)
        over = _F(-5.69250639462346e-05) + q * (_F(-2.10102402082508e-06) + q * over)
        over = _F(-1.60960333262415e-02) + q * (_F(-2.95459980854025e-03) + q * (_F(-7.34990630326855e-04) + q * over))
        under = _F(-2.13374055278905e-04) + q * _F(-1.45660718464996e-05)
        under = _F(-1.42647390514189e-02) + q * (
            _F(-7.37332916720468e-03) + q * (_F(-1.68282697438203e-03) + q * under)
        )
        clean[level] += times * (_F(1.0) + x * over / under)


@compiled
def add_pdf(clean: Floats, z: float, step: float, height: float) -> None:
    """Add the normal density at z and a step less each time, times a height: right to 4e-6 of it."""
    first, less, times = _F(z * _TWOS), _F(step * _TWOS), _F(height / (_ROOT_2 * _ROOT_PI))
    for level in range(clean.size):
        x = min(max(first - _F(level) * less, _F(-9.0)), _F(9.0))
        clean[level] += times * two_to(-(x * x))


@compiled
def _read(total: FloatArray, table: FloatArray, place: float, step: float) -> None:
    """Add what stands in a table at `place` and each `step` further (a whole number, or less than one of its points).

    By cubics through four points: their coefficients hold for all levels between the same two, or for all the same way
    from one to the next.
    """
    if step >= 1.0:
        # A place that is a whole number may be rounded to less: then what is before it stands for that one.
        first, stride = max(1, int(place)), int(step + 0.5)
        share = place - first
        before, after, inner = 1.0 + share, 2.0 - share, share * (share - 1.0) / 6.0
        outer = 0.5 * before * after
        one, two, three, four = inner * after, outer * (1.0 - share), outer * share, inner * before
        if stride == 1:
            # Several are read at once where it is plain that no place is counted from the end.
            behind, here, next_, last = table[first - 1 :], table[first:], table[first + 1 :], table[first + 2 :]
            for level in range(total.size):
                total[level] += one * behind[level] + two * here[level] + three * next_[level] + four * last[level]
            return
        for level in range(total.size):
            at = first + stride * level
            total[level] += one * table[at - 1] + two * table[at] + three * table[at + 1] + four * table[at + 2]
        return
    level, per_point = 0, 1.0 / step
    while level < total.size:
        at = int(place + level * step)
        one, two, three, four = table[at - 1], table[at], table[at + 1], table[at + 2]
        linear, square = three - 0.5 * two - one / 3.0 - four / 6.0, 0.5 * (one + three) - two
        cube, beyond = (four - one) / 6.0 + 0.5 * (two - three), place - at
        until = min(total.size, max(level + 1, math.ceil((1.0 - beyond) * per_point)))
        _add_cubic(total[level:until], beyond + level * step, step, (two, linear, square, cube))
        level = until


@compiled
def _add_cubic(total: FloatArray, share: float, step: float, series: tuple[float, float, float, float]) -> None:
    constant, linear, square, cube = series
    for level in range(total.size):
        at = share + level * step
        total[level] += constant + at * (linear + at * (square + at * cube))
