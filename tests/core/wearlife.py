"""A simulated automatic over a month of wear: what is noted of it, and how far it is truly wound."""

import math
import random
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from tracker.core.timeline import Entry, Sighting, Wear, Wind

START = datetime(2026, 3, 1, 20, tzinfo=UTC)
HOUR = timedelta(hours=1)


@dataclass(slots=True)
class WearLife:
    """Worn on some days, lying by night; `fills_h` and `full_h` are true figures nobody has noted.

    The truth is kept in hours of going left, minute by minute of no model of ours: worn, it gains by the day's own rate.
    """

    chance: random.Random
    full_h: float
    fills_h: float
    by_day_sd: float = 0.3
    wears: float = 0.8
    now: datetime = START
    share: float = 1.0
    notes: list[Entry] = field(default_factory=list)
    laid: list[tuple[datetime, float]] = field(default_factory=list)

    def live(self, days: int) -> None:
        """Begin with a full wind in the evening."""
        self.notes.append(Wind(uid="w", at=self.now, zone="UTC", found="not noticed", hands="set now"))
        for _ in range(days):
            self._night()
            if self.chance.random() < self.wears:
                self._worn_for(self.chance.uniform(2.0, 7.5))

    def _night(self) -> None:
        hours = self.chance.uniform(10.0, 18.0)
        self.now += hours * HOUR
        self.share = max(0.0, self.share - hours / self.full_h)

    def _worn_for(self, hours: float) -> None:
        if self.share == 0.0:
            self._note(Sighting(uid=self._uid, at=self.now - HOUR / 4, zone="UTC", seen="stopped"))
        self._note(Wear(uid=self._uid, at=self.now, zone="UTC", act="put on"))
        day = self.fills_h * math.exp(self.chance.gauss(0.0, self.by_day_sd))
        self.now += hours * HOUR
        self.share = min(1.0, self.share + hours / day)
        self._note(Wear(uid=self._uid, at=self.now, zone="UTC", act="laid down"))
        self.laid.append((self.now, self.share * self.full_h))

    @property
    def _uid(self) -> str:
        return f"{len(self.notes):04}"

    def _note(self, note: Entry) -> None:
        self.notes.append(note)
