"""Rows that tell nearly the same, taken as one for all of them: enough for whoever seeks where the mass lies."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tracker.core.normal import FloatArray
from tracker.core.rows import Rows

MANY = 200
"""Fewer rows are left as they are."""
ONE_AGE = 0.1
"""Rows of one edge are taken together whose ages lie in one interval of so many years …"""
ONE_EDGE, FURTHER = 0.004, 0.03
"""… and whose edges lie in one so long, or of this share of their distance from the levels if that is more."""


class OneAge(NamedTuple):
    """How nearly of one age rows are that are read from one table.

    The slopes part their ages by no more `scatters` than this, and they lie within one of so many `parts` of all ages: what is
    said of the slope is then right to about the inverse of that, in standard deviations.
    """

    scatters: float
    parts: float


CLOSE_AGES = OneAge(0.1, 160.0)
ROUGH_AGES = OneAge(0.5, 20.0)
"""Enough for a box."""


def together(rows: Rows, level: float, splits: FloatArray | None = None) -> Rows:
    """Rows of one edge, of nearly one edge and age, as one; never across one of the `splits` (ages).

    What they tell of levels about `level` changes with the square of what they lie apart, and less the further off.
    """
    alone = (rows.until - rows.first == 1) & ~rows.moments
    if alone.sum() < MANY:
        return rows
    those = rows.of_rows(np.flatnonzero(alone))
    edge, sign = rows.edge[those.first], rows.sign[those.first]
    away = (edge - level) * (FURTHER / ONE_EDGE)
    near = np.rint(np.copysign(np.log1p(np.abs(away)), away) / FURTHER)
    stretch = np.zeros(edge.size) if splits is None else np.searchsorted(splits, those.age)
    _, some, same = np.unique(
        _numbered([near, np.rint(those.age / ONE_AGE), stretch, sign]), return_index=True, return_inverse=True
    )
    weight = np.bincount(same, those.weight).astype(np.float64)
    age, middle, odd = (np.bincount(same, those.weight * each) / weight for each in (those.age, edge, those.odd))
    first = rows.edge.size + np.arange(middle.size)
    taken = replace(those.of_rows(some), age=age, weight=weight, odd=odd, first=first, until=first + 1)
    return replace(
        _joined(rows.of_rows(np.flatnonzero(~alone)), taken),
        edge=np.append(rows.edge, middle),
        sign=np.append(rows.sign, sign[some]),
        width=np.append(rows.width, np.zeros(middle.size)),
    )


def _numbered(places: Sequence[NDArray[Any]]) -> FloatArray:
    """A number for each combination of whole ones."""
    number = np.zeros(places[0].size)
    for each in places:
        number = number * (each.max() - each.min() + 1.0) + (each - each.min())
    return number


def _joined(some: Rows, others: Rows) -> Rows:
    """The rows of both in order of age."""
    of_each = ("age", "weight", "group", "moments", "sure", "odd", "first", "until")
    both = {name: np.concatenate([getattr(some, name), getattr(others, name)]) for name in of_each}
    return replace(some, **both).of_rows(np.argsort(both["age"], kind="stable"))
