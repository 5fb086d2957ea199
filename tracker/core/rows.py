"""Runs as arrays: the edges of what each tells, and how likely a run that is not what the log says would tell it."""

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

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
"""No group is thinned to fewer rows."""
FLOOR = 1e-18
"""Nothing that a run may tell is less likely than this."""
HAIR = 1e-6
"""Moments of the hands that come without a width get this one (share of the scale), so that densities are compared."""
NARROW = 0.02
"""An interval no longer than this (in log hours) is a moment: what a normal holds of it is the density at its middle."""
SEVERAL = 0.2
"""Of several, those long before any stop are longer and do no harm."""
POINT = 0.002
"""The only interval of a run, if no longer than this, is a known moment: its length is of no account."""

Spans = tuple[tuple[float, float], ...]
Places = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class Run:
    """One run of the present segment: its age in years since the last service, and what it tells."""

    age_years: float
    evidence: Evidence


@dataclass(frozen=True, eq=False)
class Rows:
    """The rows of a segment in order of age; those of a `group` tell in one way.

    What a row tells of lies in `edge`, `sign` and `width` from the place `first` up to `until`: its probability is `sure` +
    the sum of `sign` × cdf(edge). Where `moments`, the edges are the middles of intervals of such a `width`, and it is the
    sum of `sign` × what they hold; or, of one with no width, its density there. `odd` is the same for a run that is not
    what the log says. Edges and widths are of log(hours / scale), ascending in a row. Rows count with their `weight`.
    """

    age: FloatArray
    weight: FloatArray
    group: Places
    moments: NDArray[np.bool_]
    sure: FloatArray
    odd: FloatArray
    first: Places
    until: Places
    edge: FloatArray
    sign: FloatArray
    width: FloatArray

    @cached_property
    def ages(self) -> FloatArray:
        """The distinct ages, ascending."""
        return np.unique(self.age)

    def of_rows(self, which: Places) -> "Rows":
        """Some of the rows."""
        return Rows(
            self.age[which],
            self.weight[which],
            self.group[which],
            self.moments[which],
            self.sure[which],
            self.odd[which],
            self.first[which],
            self.until[which],
            self.edge,
            self.sign,
            self.width,
        )

    def thinned(self, every: int) -> "Rows":
        """One in so many rows of each group, for all of them; FEWEST at least, so that rare kinds stay as they are."""
        if every <= 1:
            return self
        sizes = np.bincount(self.group)
        step = np.clip(sizes // FEWEST, 1, every)
        order = np.argsort(self.group, kind="stable")
        nth = np.empty_like(order)
        nth[order] = np.arange(order.size) - np.repeat(np.cumsum(sizes) - sizes, sizes)
        own = step[self.group]
        some = self.of_rows(np.flatnonzero(nth % own == own // 2))
        return replace(some, weight=some.weight * step[some.group])


@dataclass(frozen=True, slots=True, eq=False)
class _Told:
    """Some rows with equally many edges or moments: arrays over (row) or (row, edge), as of Rows."""

    age: FloatArray
    edge: FloatArray
    sign: FloatArray
    sure: FloatArray
    odd: FloatArray
    width: FloatArray
    moments: bool


def rows_of(runs: Sequence[Run], scale_h: float) -> Rows:
    """Turn runs into rows; what tells nothing (kind none, at least 0 h) has no row."""
    spans = [_within_reach(run.evidence.spans_h, scale_h) for run in runs]
    ages = [run.age_years for run in runs]
    ones, several = list(_of_one(ages, spans, scale_h)), list(_of_several(ages, spans, scale_h))
    groups, ways = [*ones, *several], [*range(len(ones)), *(len(ones) + told.moments for told in several)]
    sizes, edges = [told.age.size for told in groups], [told.edge.shape[1] for told in groups]
    age, sure, odd = _joined([(told.age, told.sure, told.odd) for told in groups])
    edge, sign, width = _joined([(told.edge, told.sign, told.width) for told in groups])
    until = np.cumsum(np.repeat(edges, sizes), dtype=np.intp)
    moments = np.repeat([told.moments for told in groups], sizes).astype(np.bool_)
    each = age, np.ones(age.size), np.repeat(ways, sizes).astype(np.intp), moments, sure, odd
    rows = Rows(*each, until - np.repeat(edges, sizes).astype(np.intp), until, edge, sign, width)
    return rows.of_rows(np.argsort(age, kind="stable"))


def _joined(parts: Sequence[tuple[FloatArray, FloatArray, FloatArray]]) -> Iterator[FloatArray]:
    """Of each of three arrays all parts, flat, one after the other."""
    empty = (np.zeros(0),) * 3
    return (np.concatenate([part.ravel() for part in of_all]) for of_all in zip(empty, *parts, strict=True))


def _within_reach(spans: Spans, scale_h: float) -> Spans:
    """Leave out moments that no reserve of this class reaches: hands read after years in a drawer allow thousands.

    Several moments without width get a hair of one.
    """
    if len(spans) < 2:  # noqa: PLR2004 (several)
        return spans
    near = [span for place, span in enumerate(spans) if place == 0 or span[0] < FAR * scale_h]
    if any(low < high for low, high in near):
        return tuple(span for span in near if span[0] < span[1])
    if len(near) == 1:
        return tuple(near)
    return tuple((low - HAIR * scale_h, low + HAIR * scale_h) for low, _ in near)


def _of_one(ages: Sequence[float], spans: Sequence[Spans], scale_h: float) -> Iterator[_Told]:
    """The runs that tell of one interval."""
    alone = [(age, *each[0]) for age, each in zip(ages, spans, strict=True) if len(each) == 1]
    age, low, high = np.array(alone, dtype=np.float64).reshape(-1, 3).T
    length = np.full(age.size, np.inf)
    np.log(high / np.where(low > 0.0, low, 1.0), out=length, where=low > 0.0)
    edges = np.where(length > NARROW, (low > 0.0).astype(np.intp) + ((high > 0.0) & (high < np.inf)), 0)
    both = np.stack([low, high], axis=1)[:, None]
    for say, those in (
        (_known, length <= POINT),
        (_moments, (length > POINT) & (length <= NARROW)),
        (_edges, edges == 1),
        (_edges, edges == 2),  # noqa: PLR2004 (both ends)
    ):
        if those.any():
            yield say(age[those], both[those], scale_h)


def _of_several(ages: Sequence[float], spans: Sequence[Spans], scale_h: float) -> Iterator[_Told]:
    """The runs that tell of several: those with as many together, moments by themselves."""
    alike: dict[tuple[bool, int, int], list[tuple[float, Spans]]] = defaultdict(list)
    for age, each in zip(ages, spans, strict=True):
        if len(each) > 1:
            longest = max(math.log(high / low) if low > 0.0 else math.inf for low, high in each)
            ends = sum(int(low > 0.0) + int(high < math.inf) for low, high in each)
            alike[longest <= SEVERAL, len(each), ends].append((age, each))
    for (narrow, _, _), rows in sorted(alike.items()):
        told_at, told = zip(*rows, strict=True)
        yield (_moments if narrow else _edges)(np.array(told_at, dtype=np.float64), np.array(told), scale_h)


def _edges(age: FloatArray, spans: FloatArray, scale_h: float) -> _Told:
    """Rows that tell of intervals: `spans` are (row, interval, two ends)."""
    share, bounded = _shares(spans), (spans > 0.0) & (spans < math.inf)
    edge = np.log(spans[bounded] / scale_h).reshape(age.size, -1)
    sign = np.stack([-share, share], axis=2)[bounded].reshape(edge.shape)
    sure = (spans[:, -1, 1] == math.inf).astype(np.float64)
    odd = sure + (sign * normal.cdf((edge - ODD_CENTRE) / ODD_SPREAD)).sum(axis=1)
    return _Told(age, edge, sign, sure, np.maximum(odd, 0.0), np.zeros_like(edge), moments=False)


def _moments(age: FloatArray, spans: FloatArray, scale_h: float) -> _Told:
    """Rows that tell of moments."""
    low, high = np.moveaxis(np.log(spans / scale_h), 2, 0)
    edge, width, share = 0.5 * (low + high), high - low, _shares(spans)
    odd = share * normal.pdf((edge - ODD_CENTRE) / ODD_SPREAD) / ODD_SPREAD * width
    return _Told(age, edge, share, np.zeros(age.size), odd.sum(axis=1), width, moments=True)


def _known(age: FloatArray, spans: FloatArray, scale_h: float) -> _Told:
    """Rows that tell of one known moment each, its width of no account."""
    edge = np.log(spans / scale_h).mean(axis=2)
    odd = normal.pdf((edge - ODD_CENTRE) / ODD_SPREAD)[:, 0] / ODD_SPREAD
    return _Told(age, edge, np.ones_like(edge), np.zeros(age.size), odd, np.zeros_like(edge), moments=True)


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
