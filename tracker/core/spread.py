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
    rows = mass.shape[0]
    at = np.clip((place.ravel() - grid.centre[0]) / grid.step, 0.0, grid.centre.size - 1.000001)
    index = at.astype(np.intp)
    beyond = at - index
    flat = mass.reshape(rows, -1)
    where = (np.arange(rows)[:, None] * grid.centre.size + index).ravel()
    size = rows * grid.centre.size
    near = np.bincount(where, (flat * (1.0 - beyond)).ravel(), size)
    far = np.bincount(where + 1, (flat * beyond).ravel(), size)
    shared: FloatArray = np.asarray(near + far, dtype=np.float64).reshape(rows, -1)
    return shared


def finer(axis: FloatArray, mass: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Three points for each one along an even axis, by cubics through four: mass is (…, point, …) with it in front."""
    cubic = np.array([-5.0, 60.0, 30.0, -4.0]) / 243.0
    padded = np.concatenate([np.zeros((2, *mass.shape[1:])), mass, np.zeros((2, *mass.shape[1:]))])
    size = axis.size
    after = sum(part * padded[1 + k : 1 + k + size] for k, part in enumerate(cubic))
    before = sum(part * padded[3 - k : 3 - k + size] for k, part in enumerate(cubic))
    thirds = np.stack([before, mass / 3.0, after], axis=1).reshape(3 * size, *mass.shape[1:])
    third = (axis[-1] - axis[0]) / (size - 1) / 3.0
    return np.linspace(axis[0] - third, axis[-1] + third, 3 * size), np.maximum(thirds, 0.0)


def smear(grid: Grid, mass: FloatArray, low: float, high: float) -> FloatArray:
    """Add an independent uniform(low, high) to distributions (row, bin); what leaves the grid stays at its ends."""
    if high - low < 1e-6 * grid.step:
        return mass
    below = np.cumsum(mass, axis=1)
    area, total = np.cumsum(below, axis=1) - 0.5 * below, below[:, -1:]
    summed = (_shifted(area, total, low / grid.step) - _shifted(area, total, high / grid.step)) * (
        grid.step / (high - low)
    )
    summed[:, -1:] = total
    return np.maximum(np.diff(summed, axis=1, prepend=0.0), 0.0)


def _shifted(area: FloatArray, total: FloatArray, steps: float) -> FloatArray:
    """`area` moved right by a number of bins: zero before it begins, rising by the total after it ends."""
    size, whole = area.shape[1], math.floor(-steps)
    before = np.zeros((len(area), max(0, -whole)))
    after = area[:, -1:] + total * np.arange(1, max(0, whole + 1) + 1)
    ends = np.concatenate((before, area, after), axis=1)[:, max(0, whole) :]
    share = -steps - whole
    moved: FloatArray = ends[:, :size] * (1.0 - share) + ends[:, 1 : size + 1] * share
    return moved


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
        above = normal.cdf(-away / sigma[:, None])
        spectrum += (np.fft.rfft(mass, 2 * size, axis=1) * np.fft.rfft(above, axis=1)).sum(0)
    wrapped: FloatArray = np.fft.irfft(spectrum, 2 * size)
    return wrapped[size:]
