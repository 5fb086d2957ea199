"""Lattice points spread to smooth distributions on a fine even grid of log hours, and quantiles read from them."""

import math
from dataclasses import dataclass

import numpy as np

from tracker.core import normal
from tracker.core.normal import FloatArray

BINS = 2048


@dataclass(frozen=True, slots=True)
class Band:
    """Low, middle and high: the 5, 50 and 95 % points."""

    low: float
    mid: float
    high: float


@dataclass(frozen=True, slots=True, eq=False)
class Grid:
    """Bins of equal width: their centres, and the width."""

    centre: FloatArray
    step: float

    @property
    def edge(self) -> FloatArray:
        """The upper edge of each bin."""
        return self.centre + 0.5 * self.step


def grid_over(low: float, high: float, bins: int = BINS) -> Grid:
    """Lay bins from `low` to `high`."""
    centre = np.linspace(low, high, bins)
    return Grid(centre, float(high - low) / (bins - 1))


def deposit(grid: Grid, place: FloatArray, mass: FloatArray) -> FloatArray:
    """Share each point's mass between the two nearest bins. `mass` is (row, point …), `place` (point …); (row, bin)."""
    from tracker.core import smooth  # noqa: PLC0415 -- half a second, and only who estimates needs it

    at = (place.ravel() - grid.centre[0]) / grid.step
    return smooth.deposited(at, mass.reshape(len(mass), -1), grid.centre.size)


def finer(axis: FloatArray, mass: FloatArray, along: int = 0) -> tuple[FloatArray, FloatArray]:
    """Three points for each one of an even axis, which the mass has `along` this one of its own: its points, and the mass."""
    from tracker.core import smooth  # noqa: PLC0415 -- as above

    outer, inner = mass.shape[:along], mass.shape[along + 1 :]
    found = smooth.thirds(np.ascontiguousarray(mass).reshape(math.prod(outer), axis.size, math.prod(inner)))
    third = (axis[-1] - axis[0]) / (axis.size - 1) / 3.0
    return np.linspace(axis[0] - third, axis[-1] + third, 3 * axis.size), found.reshape(*outer, -1, *inner)


def smear(grid: Grid, mass: FloatArray, low: float, high: float) -> FloatArray:
    """Add an independent uniform(low, high) to distributions (row, bin); what leaves the grid stays at its ends."""
    from tracker.core import smooth  # noqa: PLC0415 -- as above

    if high - low < 1e-6 * grid.step:
        return mass
    return smooth.smeared(mass, low / grid.step, high / grid.step)


def quantiles(grid: Grid, mass: FloatArray, levels: tuple[float, ...]) -> FloatArray:
    """Points below which these shares of the mass (one row of bins) lie."""
    rising = np.cumsum(mass)
    points: FloatArray = np.interp(np.asarray(levels) * rising[-1], rising, grid.edge)
    return points


def band(grid: Grid, mass: FloatArray) -> Band:
    """The 5, 50 and 95 % points of one row of bins."""
    return Band(*(float(point) for point in quantiles(grid, mass, (0.05, 0.5, 0.95))))


def survival(grid: Grid, parts: list[tuple[FloatArray, FloatArray]]) -> FloatArray:
    """P(log T > centre) of a mixture of normals: `parts` are (sigma (row), mass of the mean (row, bin)).

    By Fourier transform, right to about 1e-15 of the whole mass.
    """
    size = grid.centre.size
    away = grid.step * (np.arange(2 * size) - size)
    spectrum = np.zeros(size + 1, dtype=np.complex128)
    for sigma, mass in parts:
        reach = min(size, math.ceil(normal.REACH * float(sigma.max()) / grid.step))
        near = slice(size - reach, size + reach)
        above = np.repeat((away < 0.0)[None].astype(np.float64), sigma.size, axis=0)
        above[:, near] = normal.cdf(-away[near] / sigma[:, None])
        spectrum += (np.fft.rfft(mass, 2 * size, axis=1) * np.fft.rfft(above, axis=1)).sum(0)
    wrapped: FloatArray = np.fft.irfft(spectrum, 2 * size)
    return wrapped[size:]
