"""What the runs say about level, slope and scatter: the log-likelihood of log-normal run-downs, censoring kept."""

from dataclasses import dataclass
from itertools import pairwise, starmap

import numpy as np

from tracker.core.normal import FloatArray
from tracker.core.rows import ODD_CENTRE, ODD_SHARE, ODD_SPREAD, Rows, Run, rows_of
from tracker.core.together import CLOSE_AGES, OneAge

__all__ = ["ODD_CENTRE", "ODD_SHARE", "ODD_SPREAD", "Plane", "Rows", "Run", "log_likelihood", "rows_of"]


@dataclass(frozen=True, slots=True, eq=False)
class Plane:
    """A lattice of log scatter, slope per year and level (of log(T / scale), at age `at_age`), each evenly spaced.

    Every array over it has its axes in this order: scatter, slope, level. Of the levels some may be left out, where
    nothing lies between humps.
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
    def cell(self) -> float:
        """How far neighbouring levels lie apart; 1 where there is but one."""
        return float((self.level[1:] - self.level[:-1]).min()) if self.level.size > 1 else 1.0

    @property
    def parts(self) -> list[slice]:
        """The levels between which none is left out, as slices."""
        size, cell = self.level.size, self.cell
        if self.level[-1] - self.level[0] < (size - 0.5) * cell:
            return [slice(0, size)]
        ends = [0, *(np.flatnonzero(self.level[1:] - self.level[:-1] > 1.5 * cell) + 1), size]
        return list(starmap(slice, pairwise(ends)))

    def level_at(self, age_years: float) -> FloatArray:
        """Level at another age: an array over (slope, level)."""
        moved: FloatArray = self.slope[:, None] * (age_years - self.at_age) + self.level
        return moved


def log_likelihood(
    rows: Rows,
    plane: Plane,
    splits: FloatArray | None = None,
    *,
    odd_share: float = ODD_SHARE,
    one_age: OneAge = CLOSE_AGES,
) -> FloatArray:
    """Log-likelihood over the plane, of each stretch of ages between `splits` (ages, ascending) by itself.

    `one_age` is how nearly of one age rows are that are read together.

    Returns an array (stretch, scatter, slope, level); a row whose age equals a split belongs before it. Densities are
    per unit of log hours.
    """
    bounds = np.zeros(0) if splits is None else splits
    total = np.zeros((bounds.size + 1, *plane.shape))
    if rows.age.size:
        from tracker.core import mixture  # noqa: PLC0415 -- half a second, and only who estimates needs it

        told, parts = mixture.told(rows, bounds, plane.at_age, odd_share), plane.parts
        for part in parts:
            some = total if len(parts) == 1 else np.zeros(total[..., part].shape)
            first = float(plane.level[part.start])
            lattice = mixture.Lattice(np.exp(plane.log_sigma), plane.slope, first, plane.cell)
            mixture.add(some, told, lattice, one_age)
            if some is not total:
                total[..., part] = some
    return total
