"""Runs as arrays: the edges of what each tells, and how likely a run that is not what the log says would tell it."""

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace

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
FAR = 20.0
"""Hours over scale beyond which a later moment of several weighs nothing: over six of the widest spreads."""
FEWEST = 24
"""No batch is thinned to fewer rows."""
HAIR = 1e-6
"""Moments of the hands that come without a width get this one (share of the scale), so that densities are compared."""

Spans = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Run:
    """One run of the present segment: its age in years since the last service, and what it tells."""

    age_years: float
    evidence: Evidence


@dataclass(frozen=True, slots=True, eq=False)
class Batch:
    """Rows with equally many edges, as arrays over (row) or (row, edge).

    `of_age` is the row's place among the segment's distinct ages. A row's probability is `sure` + the sum of `sign` × cdf(edge); where `dense`, its density at its only edge. `odd`
    is the same for a run that is not what the log says. Edges are log(hours / scale).
    """

    dense: bool
    age: FloatArray
    of_age: NDArray[np.intp]
    weight: FloatArray
    edge: FloatArray
    sign: FloatArray
    sure: FloatArray
    odd: FloatArray

    def of_rows(self, which: NDArray[np.intp]) -> "Batch":
        """Some of its rows, or some again and again."""
        return Batch(
            self.dense,
            self.age[which],
            self.of_age[which],
            self.weight[which],
            self.edge[which],
            self.sign[which],
            self.sure[which],
            self.odd[which],
        )

    def thinned(self, every: int) -> "Batch":
        """One in so many rows, and FEWEST at least, with the weight of all."""
        step = min(every, self.age.size // FEWEST)
        if step <= 1:
            return self
        some = self.of_rows(np.arange(step // 2, self.age.size, step))
        return replace(some, weight=some.weight * step)


@dataclass(frozen=True, slots=True, eq=False)
class Rows:
    """All rows of a segment, each batch in order of age; their distinct ages, ascending, and how many rows have each."""

    batches: tuple[Batch, ...]
    ages: FloatArray
    counts: NDArray[np.intp]

    @property
    def edges(self) -> FloatArray:
        """Every edge, in no order."""
        return np.concatenate([np.zeros(0), *(batch.edge.ravel() for batch in self.batches)])

    def without(self, batches: Sequence[Batch]) -> "Rows":
        """The rows of all other batches, and their ages."""
        left = [batch for batch in self.batches if batch not in batches]
        number = np.bincount(
            np.concatenate([np.zeros(0, np.intp), *(b.of_age for b in left)]), minlength=self.ages.size
        )
        place = np.cumsum(number > 0) - 1
        some = tuple(replace(batch, of_age=place[batch.of_age]) for batch in left)
        return Rows(some, self.ages[number > 0], number[number > 0])

    def thinned(self, every: int) -> "Rows":
        """One in so many rows of each batch, for all of them; FEWEST at least, so that rare kinds stay as they are."""
        return Rows(tuple(batch.thinned(every) for batch in self.batches), self.ages, self.counts)


def rows_of(runs: Sequence[Run], scale_h: float) -> Rows:
    """Turn runs into rows; what tells nothing (kind none, at least 0 h) has no row."""
    gathered: dict[tuple[bool, int], list[tuple[float, Spans]]] = defaultdict(list)
    for run in runs:
        dense, spans = _settled(run.evidence.spans_h, scale_h)
        edges = sum(int(low > 0.0) + int(high < math.inf) for low, high in spans)
        if edges:
            gathered[dense, edges].append((run.age_years, spans))
    ages, counts = np.unique([row[0] for rows in gathered.values() for row in rows], return_counts=True)
    batches = tuple(_batch(dense, sorted(rows), ages, scale_h) for (dense, _), rows in sorted(gathered.items()))
    return Rows(batches, ages, counts)


def _settled(spans: Spans, scale_h: float) -> tuple[bool, Spans]:
    """Tell a known moment (a density) from intervals; several moments without width get a hair of one.

    Moments that no reserve of this class reaches are left out: hands read after years in a drawer allow thousands.
    """
    if len(spans) == 1:
        dense = spans[0][0] == spans[0][1]
        return dense, ((spans[0][0], math.inf),) if dense else spans
    near = [span for place, span in enumerate(spans) if place == 0 or span[0] < FAR * scale_h]
    if any(low < high for low, high in near):
        return False, tuple(span for span in near if span[0] < span[1])
    if len(near) == 1:
        return True, ((near[0][0], math.inf),)
    return False, tuple((low - HAIR * scale_h, low + HAIR * scale_h) for low, _ in near)


def _batch(dense: bool, rows: list[tuple[float, Spans]], ages: FloatArray, scale_h: float) -> Batch:  # noqa: FBT001 (a key of a table, not a switch)
    age = np.array([row[0] for row in rows], dtype=np.float64)
    ends = np.array([end for _, spans in rows for span in spans for end in span])
    bounded = (ends > 0.0) & (ends < math.inf)
    edge = np.log(ends[bounded] / scale_h).reshape(age.size, -1)
    sign = np.tile([-1.0, 1.0], ends.size // 2)[bounded].reshape(edge.shape)
    sure = np.array([float(spans[-1][1] == math.inf) for _, spans in rows])
    z = (edge - ODD_CENTRE) / ODD_SPREAD
    odd = normal.pdf(z)[:, 0] / ODD_SPREAD if dense else sure + (sign * normal.cdf(z)).sum(axis=1)
    return Batch(dense, age, np.searchsorted(ages, age), np.ones(age.size), edge, sign, sure, np.maximum(odd, 0.0))
