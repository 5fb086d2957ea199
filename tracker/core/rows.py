"""Runs as arrays: the edges of what each tells, and how likely a run that is not what the log says would tell it."""

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from tracker.core import normal
from tracker.core.evidence import Evidence
from tracker.core.hands import DRIFT
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
NARROW = 0.03
"""An interval no longer than this (in log hours) is a moment: what a normal holds of it is the density at its middle."""
SEVERAL = 0.2
"""Of several, those long before any stop are longer and do no harm."""
POINT = 0.002
"""The only interval of a run, if no longer than this, is a known moment: its length is of no account."""

Spans = tuple[tuple[float, float], ...]
Kind = Literal["edges", "known", "moments"]


@dataclass(frozen=True, slots=True)
class Run:
    """One run of the present segment: its age in years since the last service, and what it tells."""

    age_years: float
    evidence: Evidence


@dataclass(frozen=True, slots=True, eq=False)
class Batch:
    """Rows with equally many edges, as arrays over (row) or (row, edge).

    `of_age` is the row's place among the segment's distinct ages. A row's probability is `sure` + the sum of `sign` ×
    cdf(edge). Where `dense`, the edges are moments: its probability is the sum of `sign` × what intervals of such a `width`
    about them hold; or, of one with no width, its density there. `odd` is the same for a run that is not what the log says.
    Edges and widths are of log(hours / scale).
    """

    dense: bool
    age: FloatArray
    of_age: NDArray[np.intp]
    weight: FloatArray
    edge: FloatArray
    sign: FloatArray
    sure: FloatArray
    odd: FloatArray
    width: FloatArray

    def of_rows(self, which: NDArray[np.intp] | slice) -> "Batch":
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
            self.width[which],
        )

    def of_edges(self, which: NDArray[np.bool_]) -> "Batch":
        """Only some of the edges of each row."""
        return replace(self, edge=self.edge[:, which], sign=self.sign[:, which], width=self.width[:, which])

    def with_ends(self) -> "Batch":
        """The same moments as intervals with two edges each."""
        edge = np.stack([self.edge - 0.5 * self.width, self.edge + 0.5 * self.width], axis=2).reshape(self.age.size, -1)
        sign = np.stack([-self.sign, self.sign], axis=2).reshape(edge.shape)
        return replace(self, dense=False, edge=edge, sign=sign, width=np.zeros_like(edge))

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

    def near(self, low: FloatArray, high: FloatArray) -> "Rows":
        """With only those edges that lie between two bounds for each age: all below are passed for sure, none above is.

        Rows are batched anew by how many edges are left to them, none perhaps.
        """
        alike: dict[tuple[bool, bool], list[Batch]] = defaultdict(list)
        for batch in self.batches:
            alike[batch.dense, bool(batch.width.any())].append(batch)
        found = (near for batches in alike.values() for near in _near(batches, low, high))
        return Rows(tuple(found), self.ages, self.counts)

    def thinned(self, every: int) -> "Rows":
        """One in so many rows of each batch, for all of them; FEWEST at least, so that rare kinds stay as they are."""
        return Rows(tuple(batch.thinned(every) for batch in self.batches), self.ages, self.counts)


def _near(batches: list[Batch], low: FloatArray, high: FloatArray) -> list[Batch]:
    """As of Rows.near, of batches of one kind."""
    above = [b.edge - 0.5 * b.width > high[b.of_age][:, None] for b in batches]
    left = [
        (b.edge + 0.5 * b.width >= low[b.of_age][:, None]) & ~higher for b, higher in zip(batches, above, strict=True)
    ]
    if all(each.all() for each in left):
        return batches
    if not batches[0].dense:
        batches = [
            replace(batch, sure=batch.sure + (batch.sign * higher).sum(1))
            for batch, higher in zip(batches, above, strict=True)
        ]
    age, of_age, weight, sure, odd = (
        np.concatenate([getattr(batch, name) for batch in batches])
        for name in ("age", "of_age", "weight", "sure", "odd")
    )
    edge, sign, width = (
        np.concatenate([getattr(batch, name)[kept] for batch, kept in zip(batches, left, strict=True)])
        for name in ("edge", "sign", "width")
    )
    number = np.concatenate([kept.sum(1) for kept in left])
    first, found = np.cumsum(number) - number, []
    for count in np.flatnonzero(np.bincount(number)):
        which = np.flatnonzero(number == count)
        which = which[np.argsort(of_age[which], kind="stable")]
        at = first[which][:, None] + np.arange(count)
        told = age[which], of_age[which], weight[which]
        found.append(Batch(batches[0].dense, *told, edge[at], sign[at], sure[which], odd[which], width[at]))
    return found


def rows_of(runs: Sequence[Run], scale_h: float) -> Rows:
    """Turn runs into rows; what tells nothing (kind none, at least 0 h) has no row."""
    gathered: dict[tuple[Kind, int], list[tuple[float, Spans]]] = defaultdict(list)
    for run in runs:
        kind, spans = _settled(run.evidence.spans_h, scale_h)
        edges = sum(int(low > 0.0) + int(high < math.inf) for low, high in spans) if kind == "edges" else len(spans)
        if edges:
            gathered[kind, edges].append((run.age_years, spans))
    ages, counts = np.unique([row[0] for rows in gathered.values() for row in rows], return_counts=True)
    batches = (_batch(kind, sorted(rows), ages, scale_h) for (kind, _), rows in sorted(gathered.items()))
    return Rows(tuple(batches), ages, counts)


def _settled(spans: Spans, scale_h: float) -> tuple[Kind, Spans]:
    """Tell moments from longer intervals; several moments without width get a hair of one.

    Moments that no reserve of this class reaches are left out: hands read after years in a drawer allow thousands.
    """
    near = [span for place, span in enumerate(spans) if place == 0 or span[0] < FAR * scale_h]
    if any(low < high for low, high in near):
        near = [span for span in near if span[0] < span[1]]
    elif len(near) > 1:
        near = [(low - HAIR * scale_h, low + HAIR * scale_h) for low, _ in near]
    longest = max((math.log(high / low) if low > 0.0 else math.inf for low, high in near), default=math.inf)
    known = longest <= POINT and len(near) == 1
    narrow = longest <= (NARROW if len(near) == 1 else SEVERAL)
    return "known" if known else "moments" if narrow else "edges", tuple(near)


def _batch(kind: Kind, rows: list[tuple[float, Spans]], ages: FloatArray, scale_h: float) -> Batch:
    age = np.array([row[0] for row in rows], dtype=np.float64)
    said = (_edges if kind == "edges" else _moments)([spans for _, spans in rows], scale_h)
    if kind == "known":
        edge, sign, sure, _, width = said
        odd = normal.pdf((edge - ODD_CENTRE) / ODD_SPREAD)[:, 0] / ODD_SPREAD
        said = edge, sign, sure, odd, np.zeros_like(width)
    return Batch(kind != "edges", age, np.searchsorted(ages, age), np.ones(age.size), *said)


def _edges(rows: list[Spans], scale_h: float) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray, FloatArray]:
    """Edge, sign, sure, odd and width of rows that tell of intervals."""
    ends = np.array([end for spans in rows for span in spans for end in span])
    share = np.concatenate([_shares(np.array(spans)) for spans in rows])
    bounded = (ends > 0.0) & (ends < math.inf)
    edge = np.log(ends[bounded] / scale_h).reshape(len(rows), -1)
    sign = np.stack([-share, share], axis=1).ravel()[bounded].reshape(edge.shape)
    sure = np.array([float(spans[-1][1] == math.inf) for spans in rows])
    odd = sure + (sign * normal.cdf((edge - ODD_CENTRE) / ODD_SPREAD)).sum(axis=1)
    return edge, sign, sure, np.maximum(odd, 0.0), np.zeros_like(edge)


def _moments(rows: list[Spans], scale_h: float) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray, FloatArray]:
    """The same of rows that tell of moments."""
    spans = np.array(rows)
    low, high = np.moveaxis(np.log(spans / scale_h), 2, 0)
    edge, width, share = 0.5 * (low + high), high - low, _shares(spans)
    odd = share * normal.pdf((edge - ODD_CENTRE) / ODD_SPREAD) / ODD_SPREAD * width
    return edge, share, np.zeros(len(rows)), odd.sum(axis=1), width


def _shares(spans: FloatArray) -> FloatArray:
    """What each of several moments counts for beside the shortest one: (…, moment) of (…, moment, two ends).

    Hands that drifted for longer are read as well, each reading just tells less of its moment: so a moment weighs by its
    middle, not by its length. But of one cut short by a bracket only a part is possible: its own length is that of the
    one before it at least, and that of a later one less the drift in between.
    """
    if spans.shape[-2] == 1:
        return np.ones(spans.shape[:-1])
    low, high = spans[..., 0], spans[..., 1]
    length, drift = high - low, (low + high) * DRIFT
    later = np.maximum.accumulate((length - drift)[..., ::-1], axis=-1)[..., ::-1] + drift
    whole = np.maximum(later, np.concatenate([length[..., :1], length[..., :-1]], axis=-1))
    shares: FloatArray = whole.min(axis=-1, keepdims=True) / whole
    return shares
