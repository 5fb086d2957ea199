"""What a cue is said from: the evidence it stood on when it was said, as figures, never as prose."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any

from tracker.core.cue import Step
from tracker.core.decline import Reason
from tracker.core.spread import Band
from tracker.core.timing import Figure
from tracker.store.moments import from_text, to_text


@dataclass(frozen=True, slots=True, kw_only=True)
class CueFacts:
    """The watch by nickname alone, the step and its reason, and the evidence.

    `probability` is that of the step, `lost` the share of the reserve gone since `since` (the service, or the first run
    noted where none is known), from `stops` and `going` ("at least") runs. The owner's own: `threshold` (a share),
    `least_h`, `interval_years`. `low_amplitude_deg` after 24 h, from so many `amplitude_readings`, where it is low.
    `model` worked it out.
    """

    nickname: str
    step: Step
    reason: Reason
    probability: float
    lost: Band
    stops: int
    going: int
    since: datetime
    serviced: bool
    threshold: float
    least_h: float | None
    interval_years: float | None
    low_amplitude_deg: float | None = None
    amplitude_readings: int = 0
    model: str

    @property
    def low_amplitude(self) -> Figure | None:
        """The low amplitude after 24 h with what it stands on."""
        return None if self.low_amplitude_deg is None else Figure(self.low_amplitude_deg, self.amplitude_readings)

    def to_dict(self) -> dict[str, Any]:
        """Return plain values for JSON."""
        values = {name: value for name, value in asdict(self).items() if name != "since"}
        return {**values, "since_utc": to_text(self.since)}

    @classmethod
    def from_dict(cls, stored: Mapping[str, Any]) -> "CueFacts":
        """Read back what `to_dict` gave, also after a round trip through JSON."""
        values = {name: value for name, value in stored.items() if name != "since_utc"}
        return cls(**{**values, "lost": Band(**stored["lost"]), "since": from_text(stored["since_utc"])})
