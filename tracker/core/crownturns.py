"""How many turns of the crown wind a watch from stopped to full: counted at windings, else as the register says."""

from collections.abc import Iterable
from dataclasses import dataclass
from statistics import median

from tracker.core.timeline import Wind

LEAST_COUNTED = 3
"""So many counts of turns from stopped to full tell how many a full winding takes."""
COUNT_OFF = 0.1
"""A figure from the register, or a count of turns, is taken to be this much off either way (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Turns:
    """Crown turns from stopped to full: lowest, middle, highest, and how many windings tell it (0: the register)."""

    low: float
    mid: float
    high: float
    counted: int


def turns_to_full(winds: Iterable[Wind], registered: float | None) -> Turns | None:
    """What windings from stopped to full took, else what the register says; None where neither is known."""
    counts = sorted(
        wind.crown_turns for wind in winds if wind.amount == "full" and wind.found == "stopped" and wind.crown_turns
    )
    if len(counts) >= LEAST_COUNTED:
        return Turns(counts[0], median(counts), counts[-1], len(counts))
    if registered is None:
        return None
    return Turns(registered * (1.0 - COUNT_OFF), registered, registered * (1.0 + COUNT_OFF), 0)


def share_of(turns: float, full: Turns) -> tuple[float, float]:
    """The share of a full winding that so many counted turns are, lowest and highest; beyond full it slips or resists."""
    return turns * (1.0 - COUNT_OFF) / full.high, turns * (1.0 + COUNT_OFF) / full.low


def turns_of(low: float, full: Turns) -> float:
    """The turns of which this is the lowest share."""
    return low * full.high / (1.0 - COUNT_OFF)
