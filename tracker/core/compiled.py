"""How loops are compiled: by numba, when they are first called.

It takes some seconds; the outcome is kept beside their file or in the user's cache folder.
"""

from collections.abc import Callable
from typing import TypeVar

import numpy as np
from numba import njit

_EXACT = {"nnan", "ninf", "nsz"}
"""What the compiler may take for granted. It may not round otherwise, for then a process that compiles some of this, and takes
the rest from what another one kept, would get other figures than that one."""
_F = np.float32
_ROOT_OF_A_HALF = np.int64(0x3FE6A09E667F3BCD)
"""Its bits, as a double."""
_Function = TypeVar("_Function", bound=Callable[..., object])


def compiled(function: _Function) -> _Function:
    """Compile a function when it is first called."""
    made: _Function
    try:
        made = njit(function, cache=True, error_model="numpy", fastmath=_EXACT)
    except RuntimeError:
        # There is nowhere to keep it: then each process compiles it anew.
        made = njit(function, error_model="numpy", fastmath=_EXACT)
    return made


@compiled
def two_to(power: np.float32) -> np.float32:
    """Two to a power between -126 and 0, right to 4e-7: its whole part is the exponent of a single, the rest a short series."""
    whole = np.int32(power - _F(0.5))
    rest = (power - _F(whole)) * _F(0.6931471805599453)
    series = _F(1 / 24) + rest * (_F(1 / 120) + rest * _F(1 / 720))
    series = _F(1.0) + rest * (_F(1.0) + rest * (_F(1 / 2) + rest * (_F(1 / 6) + rest * series)))
    return series * np.int32((np.int32(127) + whole) << np.int32(23)).view(np.float32)


@compiled
def logarithm(x: np.float64) -> float:
    """The natural logarithm of a positive double, right to 1e-12: cores take several at once, unlike that of the library.

    Its exponent, and twice the area tangent of (m - 1) / (m + 1) for a mantissa m between the roots of a half and of two.
    """
    bits = np.float64(x).view(np.int64)
    whole = (bits - _ROOT_OF_A_HALF) >> np.int64(52)
    mantissa = np.int64(bits - (whole << np.int64(52))).view(np.float64)
    part = (mantissa - 1.0) / (mantissa + 1.0)
    q = part * part
    series = 1.0 + q * (1 / 3 + q * (1 / 5 + q * (1 / 7 + q * (1 / 9 + q * (1 / 11 + q * (1 / 13))))))
    return np.int32(whole) * 0.6931471805599453 + 2.0 * part * series
