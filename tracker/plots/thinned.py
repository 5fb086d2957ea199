"""Many readings as few points that hide nothing: extremes and gaps stay."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]
Places = NDArray[np.intp]

BUCKETS = 400


def thinned(
    at_s: Sequence[float], values: Sequence[float], gap_s: float, buckets: int = BUCKETS
) -> tuple[list[float], list[float | None]]:
    """Readings in order of time, few enough to draw: of each stretch of time the first, last, lowest and highest.

    Between two readings farther apart than `gap_s` stands a None, so that no line is drawn over what was not heard.
    """
    times, levels = np.asarray(at_s, dtype=float), np.asarray(values, dtype=float)
    kept = np.arange(len(times)) if len(times) <= 4 * buckets else _kept(times, levels, gap_s, buckets)
    out_s: list[float] = []
    out: list[float | None] = []
    for place in kept.tolist():
        # The reading before may have been left out: the gap counts from it, not from the last that was kept.
        if place and times[place] - times[place - 1] > gap_s:
            out_s.append(float(times[place - 1]))
            out.append(None)
        out_s.append(float(times[place]))
        out.append(float(levels[place]))
    return out_s, out


def _kept(
    times: Numbers,
    levels: Numbers,
    gap_s: float,
    buckets: int,
) -> Places:
    edges = np.linspace(times[0], times[-1], buckets + 1)[:-1]
    starts = np.unique(np.searchsorted(times, edges))
    ends = np.append(starts[1:], len(times))
    stretches = [(start, levels[start:end]) for start, end in zip(starts, ends, strict=True)]
    lowest = np.array([start + values.argmin() for start, values in stretches])
    highest = np.array([start + values.argmax() for start, values in stretches])
    gaps = np.flatnonzero(np.diff(times) > gap_s)
    return np.unique(np.concatenate([starts, ends - 1, lowest, highest, gaps, gaps + 1]))
