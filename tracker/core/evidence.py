"""What one run tells about the hours from full wind to stop, its censoring kept."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

EvidenceKind = Literal["exact", "between", "at_least", "at_most", "one_of", "none"]
_ENDED = ("exact", "between", "at_most", "one_of")


@dataclass(frozen=True, slots=True)
class Evidence:
    """The run-down time lies in one of `spans_h`: pairs (low, high) in hours, ascending and apart.

    exact: one pair of equal ends. between: one pair. at_least: one pair open above (high is inf).
    at_most: one pair from 0. one_of: the moments the hands allow, each widened by its tolerance and clipped
    (one moment or more). none: no pair.
    """

    kind: EvidenceKind
    spans_h: tuple[tuple[float, float], ...] = ()

    @property
    def ended(self) -> bool:
        """Whether the run is known to have come to its natural stop."""
        return self.kind in _ENDED


def at_least(hours: float) -> Evidence:
    """Still going after `hours`."""
    return Evidence("at_least", ((hours, math.inf),))


def at_most(hours: float) -> Evidence:
    """Stopped no later than `hours` after the wind."""
    return Evidence("at_most", ((0.0, hours),))


def between(low_h: float, high_h: float) -> Evidence:
    """Stopped between two moments."""
    return Evidence("between", ((low_h, high_h),))


def exact(hours: float) -> Evidence:
    """Stopped at a known moment."""
    return Evidence("exact", ((hours, hours),))


NONE = Evidence("none")


def only_a_lower_bound(counts: Mapping[str, int]) -> bool:
    """Whether runs, counted by kind, say no more than how long it goes at the least: they put no bound above.

    Without a prior nothing at all could then be fitted, for the longer the reserve, the likelier the runs.
    """
    return counts.get("at_least", 0) > 0 and not any(counts.get(kind) for kind in _ENDED)
