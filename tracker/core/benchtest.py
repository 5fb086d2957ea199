"""A run-down test as its row tells: what it ties together. What it found is read off the log."""

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from tracker.core.timeline import ONE_ACT

Occasion = Literal["before service", "after service", "in between"]
Position = Literal["", "CH", "CB", "3H", "6H", "9H", "12H"]
EndedTestBy = Literal["stop read", "stop seen", "sensor", "broken off"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchTest:
    """One test. `wind_uid` is the winding it began with as the log has it now, None if that was taken out.

    `wound_at` is when that was; `newest_at` when the watch was last wound. `position` as of ISO 3158, empty if not
    said. `ended_at` is None while it goes on.
    """

    uid: str
    watch_uid: str
    wind_uid: str | None
    wound_at: datetime | None
    newest_at: datetime | None
    occasion: Occasion
    position: Position
    note: str
    noted_at: datetime
    ended_at: datetime | None = None
    ended_by: EndedTestBy | None = None
    reason: str = ""

    @property
    def holds(self) -> bool:
        """Whether its watch is to run down: it goes on, and the watch was not wound again."""
        if self.ended_at is not None or self.wound_at is None or self.newest_at is None:
            return False
        return self.newest_at - self.wound_at <= ONE_ACT
