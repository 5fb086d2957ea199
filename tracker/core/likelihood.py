"""What the runs say about level, slope and scatter: the log-likelihood of log-normal run-downs, censoring kept."""

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tracker.core import normal
from tracker.core.evidence import Evidence
from tracker.core.normal import FloatArray

ODD_SHARE = 0.03
"""Probability that a run is not what the log says (from memory; common practice, no source)."""
ODD_CENTRE = -0.20
"""Such a run's log(T / scale) is normal about this centre …"""
ODD_SPREAD = 0.50
"""… with this standard deviation."""
MONTH_YEARS = 1 / 12
BIN_LOG_H = 0.01
"""“At least” runs of one month and one bin of log hours (half an hour at 42 h) become one row with a weight."""
FAR = math.log(20.0)
"""Log hours over scale beyond which a later moment of several weighs nothing: over six of the widest spreads."""
HAIR = 1e-6
"""Moments of the hands that come without a width get this one (share of the scale), so that densities are compared."""
_BLOCK = 50_000
"""Cdf values worked at once: what stays in a core's cache."""
_FLOOR = 1e-300

Spans = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Run:
    """One run of the present segment: its age in years since the last service, and what it tells."""

    age_years: float
    evidence: Evidence


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

    def level_at(self, age_years: float) -> FloatArray:
        """Level at another age: an array over (slope, level)."""
        moved: FloatArray = self.slope[:, None] * (age_years - self.at_age) + self.level
        return moved


@dataclass(frozen=True, slots=True, eq=False)
class Batch:
    """Rows with equally many edges, as arrays over (row) or (row, edge).

    A row's probability is `sure` + the sum of `sign` × cdf(edge); where `dense`, its density at its only edge. `odd`
    is the same for a run that is not what the log says. Edges are log(hours / scale).
    """

    dense: bool
    age: FloatArray
    weight: FloatArray
    edge: FloatArray
    sign: FloatArray
    sure: FloatArray
    odd: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class Rows:
    """All rows of a segment, and their distinct ages, ascending."""

    batches: tuple[Batch, ...]
    ages: FloatArray

    @property
    def edges(self) -> FloatArray:
        """Every edge, in no order."""
        return np.concatenate([np.zeros(0), *(batch.edge.ravel() for batch in self.batches)])


def rows_of(runs: Sequence[Run], scale_h: float, *, merge: bool = True) -> Rows:
    """Turn runs into rows: ends kept as they are, “at least” runs merged unless told not to.

    What tells nothing (kind none, at least 0 h) has no row.
    """
    gathered: dict[tuple[bool, int], list[tuple[float, float, Spans]]] = defaultdict(list)
    for age, weight, spans in _weighted(runs, scale_h, merge=merge):
        dense, kept = _settle_widths(spans)
        edges = sum((low > -math.inf) + (high < math.inf) for low, high in kept)
        if edges:
            gathered[dense, edges].append((age, weight, kept))
    batches = tuple(_batch(dense, rows) for (dense, _), rows in sorted(gathered.items()))
    ages = np.unique(np.concatenate([np.zeros(0), *(batch.age for batch in batches)]))
    return Rows(batches, ages)


def _weighted(runs: Sequence[Run], scale_h: float, *, merge: bool) -> Iterator[tuple[float, float, Spans]]:
    """Each run as (age, weight, spans of log hours); merged rows stand at their mean age and mean log hours."""
    still_going: dict[tuple[int, int], list[tuple[float, float]]] = defaultdict(list)
    for run in runs:
        spans = _within_reach((_log(low / scale_h), _log(high / scale_h)) for low, high in run.evidence.spans_h)
        if merge and run.evidence.kind == "at_least" and math.isfinite(spans[0][0]):
            low = spans[0][0]
            still_going[int(run.age_years / MONTH_YEARS), math.floor(low / BIN_LOG_H)].append((run.age_years, low))
        else:
            yield run.age_years, 1.0, spans
    for members in still_going.values():
        ages, lows = zip(*members, strict=True)
        yield math.fsum(ages) / len(ages), float(len(lows)), ((math.fsum(lows) / len(lows), math.inf),)


def _within_reach(spans: Iterable[tuple[float, float]]) -> Spans:
    """Leave out moments that no reserve of this class reaches: hands read after years in a drawer allow thousands."""
    kept = tuple(spans)
    return kept[:1] + tuple(span for span in kept[1:] if span[0] < FAR)


def _log(ratio: float) -> float:
    return math.log(ratio) if ratio > 0.0 else -math.inf


def _settle_widths(spans: Spans) -> tuple[bool, Spans]:
    """Tell a known moment (a density) from intervals; several moments without width get a hair of one."""
    if any(low < high for low, high in spans):
        return False, tuple((low, high) for low, high in spans if low < high)
    if len(spans) == 1:
        return True, ((spans[0][0], math.inf),)
    widths = [HAIR * math.exp(-low) for low, _ in spans]
    return False, tuple((low - width, low + width) for (low, _), width in zip(spans, widths, strict=True))


def _batch(dense: bool, rows: list[tuple[float, float, Spans]]) -> Batch:  # noqa: FBT001 (a key of a table, not a switch)
    age, weight = (np.array([row[i] for row in rows], dtype=np.float64) for i in (0, 1))
    signed = [
        [(end, sign) for span in spans for end, sign in zip(span, (-1.0, 1.0), strict=True) if math.isfinite(end)]
        for _, _, spans in rows
    ]
    edge, sign = (np.array([[pair[i] for pair in row] for row in signed]) for i in (0, 1))
    sure = np.array([float(spans[-1][1] == math.inf) for _, _, spans in rows])
    z = (edge - ODD_CENTRE) / ODD_SPREAD
    odd = normal.pdf(z)[:, 0] / ODD_SPREAD if dense else sure + (sign * normal.cdf(z)).sum(axis=1)
    return Batch(dense, age, weight, edge, sign, sure, np.maximum(odd, 0.0))


def log_likelihood(
    rows: Rows, plane: Plane, splits: FloatArray | None = None, *, odd_share: float = ODD_SHARE
) -> FloatArray:
    """Log-likelihood over the plane, of each stretch of ages between `splits` (ages, ascending) by itself.

    Returns an array (stretch, scatter, slope, level); a row whose age equals a split belongs before it. Densities are
    per unit of log hours.
    """
    bounds = np.zeros(0) if splits is None else splits
    total = np.zeros((bounds.size + 1, *plane.shape))
    for batch in rows.batches:
        stretch = np.searchsorted(bounds, batch.age, side="left")
        step = max(1, _BLOCK // (batch.edge.shape[1] * math.prod(plane.shape)))
        for start in range(0, batch.age.size, step):
            part = slice(start, start + step)
            _add(total, stretch[part], batch.weight[part], _log_terms(batch, part, plane, odd_share))
    return total


def _add(total: FloatArray, stretch: NDArray[np.intp], weight: FloatArray, terms: FloatArray) -> None:
    if total.shape[0] == 1:
        total[0] += np.tensordot(weight, terms, axes=1)
        return
    for where, times, term in zip(stretch, weight, terms, strict=True):
        total[where] += term if times == 1.0 else times * term


def _log_terms(batch: Batch, part: slice, plane: Plane, odd_share: float) -> FloatArray:
    """Log of each row's mixture over the plane: (row, scatter, slope, level)."""
    sigma = np.exp(plane.log_sigma)
    away = batch.edge[part, :, None] - (batch.age[part, None] - plane.at_age)[:, :, None] * plane.slope
    stretch = 1.0 if batch.dense else float(normal.STEPS)
    fixed = away[:, :, None, :, None] * (stretch / sigma)[:, None, None]
    moving = (stretch / sigma)[:, None, None] * plane.level
    if batch.dense:
        clean = normal.pdf(fixed[:, 0] - moving) / sigma[:, None, None]
    else:
        clean = _probability(batch, part, fixed + (normal.MIDDLE - moving))
    clean *= 1.0 - odd_share
    clean += (np.maximum(odd_share * batch.odd[part], _FLOOR))[:, None, None, None]
    logs: FloatArray = np.log(clean, out=clean)
    return logs


def _probability(batch: Batch, part: slice, place: FloatArray) -> FloatArray:
    signed = normal.cdf_at_place(place)
    signed *= batch.sign[part, :, None, None, None]
    clean: FloatArray = signed[:, 0] if signed.shape[1] == 1 else signed.sum(axis=1)
    clean += batch.sure[part, None, None, None]
    return np.maximum(clean, 0.0, out=clean)
