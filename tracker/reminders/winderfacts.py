"""What a reminder about a winder is said from: figures, never prose."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any

from tracker.core.watch import WinderWay
from tracker.core.winderfinding import Finding, Whose, Word
from tracker.store.moments import from_text, from_text_or_none, to_text


@dataclass(frozen=True, slots=True, kw_only=True)
class WinderFacts:
    """The watch by nickname alone, what was found and since when, the turns a day it gets and needs, and the stop to come."""

    nickname: str
    word: Word
    since: datetime
    a_day: float | None
    stops_at: datetime | None
    needs_a_day: float
    way: WinderWay
    whose: Whose

    @property
    def finding(self) -> Finding:
        """What was found."""
        return Finding(self.word, self.since, self.a_day, self.stops_at)

    def to_dict(self) -> dict[str, Any]:
        """Return plain values for JSON."""
        stops = self.stops_at and to_text(self.stops_at)
        values = {name: value for name, value in asdict(self).items() if name not in {"since", "stops_at"}}
        return {**values, "since_utc": to_text(self.since), "stops_utc": stops}

    @classmethod
    def from_dict(cls, stored: Mapping[str, Any]) -> "WinderFacts":
        """Read back what `to_dict` gave, also after a round trip through JSON."""
        values = {name: value for name, value in stored.items() if name not in {"since_utc", "stops_utc"}}
        return cls(**values, since=from_text(stored["since_utc"]), stops_at=from_text_or_none(stored["stops_utc"]))
