"""What the reminder of a run is said from: figures, never prose."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any

from tracker.store.moments import from_text_or_none, to_text


@dataclass(frozen=True, slots=True, kw_only=True)
class RunFacts:
    """The watch by nickname alone, every how many days it is to run, and when it last was wound or worn, if that is known."""

    nickname: str
    every_days: int
    last_at: datetime | None

    def to_dict(self) -> dict[str, Any]:
        """Return plain values for JSON."""
        values = {name: value for name, value in asdict(self).items() if name != "last_at"}
        return {**values, "last_utc": self.last_at and to_text(self.last_at)}

    @classmethod
    def from_dict(cls, stored: Mapping[str, Any]) -> "RunFacts":
        """Read back what `to_dict` gave."""
        return cls(
            nickname=stored["nickname"],
            every_days=stored["every_days"],
            last_at=from_text_or_none(stored["last_utc"]),
        )
