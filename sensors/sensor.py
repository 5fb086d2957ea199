"""One sensor as it was set up, and where watches lay on it."""

from dataclasses import dataclass
from typing import Literal

from sensors import rest, winder
from sensors.kinds import Beats, Boolean, Kind, Level
from sensors.payload import Form

SensorKind = Literal["rest", "winder"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sensor:
    """A rest sensor, or one seat of a winder box.

    `topic` is a topic filter of MQTT; `reports` what its messages tell once they are read by `form`; `expected_s` how long
    from one message to the next; a change of a rest sensor counts once it has held for `confirm_readings` and `confirm_s`.
    `version` counts the edits of its row.
    """

    uid: str
    name: str
    kind: SensorKind
    topic: str
    form: Form
    reports: Kind | winder.Reports
    expected_s: float
    confirm_readings: int = 3
    confirm_s: float = 120.0
    archived: bool = False
    version: int = 1

    @property
    def setup(self) -> rest.Setup | winder.Setup:
        """What its readings are followed by."""
        if isinstance(self.reports, Boolean | Level | Beats):
            return rest.Setup(self.reports, self.expected_s, self.confirm_readings, self.confirm_s)
        return winder.Setup(self.reports, self.expected_s)


@dataclass(frozen=True, slots=True, kw_only=True)
class Assignment:
    """A watch lay on a sensor from one moment to another, in seconds since 1970; to None: it lies there still."""

    uid: str
    sensor_uid: str
    watch_uid: str
    from_s: float
    to_s: float | None = None
    version: int = 1
