"""The values that stand at some places in order of size, row by row, without sorting all of them: compiled."""

import numpy as np
from numpy.typing import NDArray

from tracker.core.compiled import compiled
from tracker.core.normal import Floats

BINS = 1024
"""Values are told apart by so many bins; only those that share one with a value asked for are put in order."""


@compiled
def ranked(values: Floats, places: NDArray[np.intp]) -> Floats:
    """Of each row of values those that sorting it would put at the places (ascending): (row, place)."""
    rows, count = values.shape
    found = np.empty((rows, places.size), values.dtype)
    bins, held = np.empty(count, np.int32), np.empty(count, values.dtype)
    for row in range(rows):
        some = values[row]
        filled = _binned(some, bins)
        at, below = 0, 0
        for place in range(places.size):
            while below + filled[at] <= places[place]:
                below += filled[at]
                at += 1
            found[row, place] = _in_bin(some, bins, at, held)[places[place] - below]
    return found


@compiled
def _binned(values: Floats, bins: NDArray[np.int32]) -> NDArray[np.int32]:
    """Note the bin of each value; how many are in each."""
    low, high = values[0], values[0]
    for each in range(values.size):
        low, high = min(low, values[each]), max(high, values[each])
    # One of many equal ones divides by next to nothing, and is in the first bin all the same.
    times = (BINS - 1) / max(high - low, 1e-30)
    for each in range(values.size):
        bins[each] = np.int32((values[each] - low) * times)
    filled = np.zeros(BINS + 1, np.int32)
    for each in range(values.size):
        filled[bins[each]] += 1
    return filled


@compiled
def _in_bin(values: Floats, bins: NDArray[np.int32], wanted: int, held: Floats) -> Floats:
    """The values in one bin, sorted."""
    count = 0
    for each in range(values.size):
        held[count] = values[each]
        count += bins[each] == wanted
    return np.sort(held[:count])
