"""The normal distribution without scipy: a table of our own, read with linear interpolation."""

import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
Floats = NDArray[np.floating[Any]]
"""Doubles or singles."""

STEPS = 1250
"""Table steps per standard deviation: linear interpolation is then right to 2e-8."""
REACH = 9
"""Standard deviations either side of the mean that the table covers; beyond, the cdf is 0 or 1 to 1e-18."""
MIDDLE = float(REACH * STEPS)
_ROOT_2PI = math.sqrt(2.0 * math.pi)


def _table() -> tuple[FloatArray, FloatArray]:
    below = np.array([math.erfc(i / STEPS / math.sqrt(2.0)) / 2.0 for i in range(REACH * STEPS, 0, -1)])
    value = np.concatenate((below, [0.5], 1.0 - below[::-1]))
    rise = np.append(np.diff(value), 0.0)
    rise[0] = 0.0
    return value, rise


_VALUE, _RISE = _table()
_SINGLE = _VALUE.astype(np.float32), _RISE.astype(np.float32)


def cdf(z: FloatArray | float) -> FloatArray:
    """Standard normal cdf at `z` (finite), right to 2e-8; any shape."""
    return np.asarray(cdf_at_place(np.asarray(z, dtype=np.float64) * STEPS + MIDDLE), dtype=np.float64)


def cdf_at_place(place: Floats) -> Floats:
    """The cdf at places in the table, place = z × STEPS + MIDDLE: for callers who can scale before they broadcast.

    Beyond either end the table does not rise, so nothing needs clipping but the index. Of singles it makes singles,
    right to 3e-7.
    """
    value, rise = _SINGLE if place.dtype == np.float32 else (_VALUE, _RISE)
    index = place.astype(np.intp)
    share: Floats = place - index.astype(place.dtype)
    share *= rise.take(index, mode="clip")
    share += value.take(index, mode="clip")
    return share


def pdf(z: FloatArray | float) -> FloatArray:
    """Standard normal density at `z`; any shape."""
    return np.asarray(density_at(np.array(z, dtype=np.float64)), dtype=np.float64)


def density_at(z: Floats) -> Floats:
    """As `pdf`, of doubles or singles, written over them."""
    z *= z
    z *= -0.5
    density: Floats = np.exp(z, out=z)
    density /= _ROOT_2PI
    return density


def quantile(share: FloatArray) -> FloatArray:
    """The deviate below which such shares (between 0 and 1, any shape) lie, by the same table."""
    return np.interp(share, _VALUE, np.linspace(-REACH, REACH, _VALUE.size))
