"""What a reserve indicator shows at full and at the stop: only once both ends were seen does a reading tell a share."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from statistics import median

from tracker.core.timeline import Entry, Sighting, Wind
from tracker.core.watch import Watch

AT_FULL = timedelta(hours=1)
"""A reading so soon after a full wind is one at full."""
LOOSE_SD = 0.10
"""A share read on a scale that nobody has checked (common practice, no source)."""
FIXED_SD = 0.05
"""A share read on a scale whose ends were both seen."""


@dataclass(frozen=True, slots=True)
class Scale:
    """The reading at full and at the stop; `fixed` if both were seen."""

    full: float
    stop: float
    fixed: bool

    @property
    def sd(self) -> float:
        """How far a share read from it may be off: its standard deviation."""
        return FIXED_SD if self.fixed else LOOSE_SD

    def share(self, reading: float) -> float:
        """The share of full that a reading shows."""
        return min(1.0, max(0.0, (reading - self.stop) / (self.full - self.stop)))


def scale_of(watch: Watch, notes: Sequence[Entry]) -> Scale | None:
    """The scale of a watch as its log and the register tell it; None where it has none, or no reading at full is known."""
    if watch.indicator == "none":
        return None
    at_full, at_stop = _ends(notes)
    printed = 1.0 if watch.indicator == "fraction" else watch.stated_reserve_h
    full = median(at_full) if at_full else printed
    stop = median(at_stop) if at_stop else 0.0
    if full is None or full <= stop:
        return None
    return Scale(full, stop, fixed=bool(at_full and at_stop))


def _ends(notes: Sequence[Entry]) -> tuple[list[float], list[float]]:
    at_full: list[float] = []
    at_stop: list[float] = []
    wound = None
    for note in notes:
        if isinstance(note, Wind):
            wound = note if note.amount == "full" else None
        elif isinstance(note, Sighting) and note.indicator_reading is not None:
            if note.seen == "stopped":
                at_stop.append(note.indicator_reading)
            elif wound is not None and note.at - wound.at <= AT_FULL:
                at_full.append(note.indicator_reading)
    return at_full, at_stop
