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
_ROOT_2PI = math.sqrt(2.0 * math.pi)

LEAST = -200.0
"""The log of next to nothing: a core is many times slower where a product of what it stands for is no normal double."""


def _table() -> tuple[FloatArray, FloatArray]:
    below = np.array([math.erfc(i / STEPS / math.sqrt(2.0)) / 2.0 for i in range(REACH * STEPS, 0, -1)])
    value = np.concatenate((below, [0.5], 1.0 - below[::-1]))
    rise = np.append(np.diff(value), 0.0)
    rise[0] = 0.0
    return value, rise


_VALUE, _RISE = _table()


def cdf(z: FloatArray | float) -> FloatArray:
    """Standard normal cdf at `z` (finite), right to 2e-8; any shape.

    Beyond either end the table does not rise, so nothing needs clipping but the index.
    """
    place = (np.asarray(z, dtype=np.float64) + REACH) * STEPS
    index = place.astype(np.intp)
    share: FloatArray = np.asarray(place - index)
    share *= _RISE.take(index, mode="clip")
    share += _VALUE.take(index, mode="clip")
    return share


def pdf(z: FloatArray | float) -> FloatArray:
    """Standard normal density at `z`; any shape."""
    density: FloatArray = np.exp(-0.5 * np.square(np.asarray(z, dtype=np.float64))) / _ROOT_2PI
    return density


def quantile(share: FloatArray) -> FloatArray:
    """The deviate below which such shares (between 0 and 1, any shape) lie, by the same table."""
    return np.interp(share, _VALUE, np.linspace(-REACH, REACH, _VALUE.size))


def exp(logs: FloatArray) -> FloatArray:
    """The exponential of logs, of none less than LEAST; any shape."""
    found: FloatArray = np.exp(np.maximum(logs, LEAST))
    return found
