"""A simulated automatic over a month of wear: what is noted of it, and how far it is truly wound."""

import math
import random
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Literal

from tests.core.test_away import runs_of
from tracker.core.presentrun import present_run
from tracker.core.rundown import run_downs
from tracker.core.timeline import Entry, Sighting, Wear, Wind
from tracker.core.watch import Watch
from tracker.core.windby import hours_at_risk

FULL_H = 42.0
Wearer = Literal["as believed", "brisk", "sluggish"]
FILLS_H = {"brisk": 9.0, "sluggish": 22.0}

START = datetime(2026, 3, 1, 20, tzinfo=UTC)
HOUR = timedelta(hours=1)


@dataclass(slots=True)
class WearLife:
    """Worn on some days, lying by night; `fills_h` and `full_h` are true figures nobody has noted.

    Worn, it gains by the day's own rate.
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


@dataclass(frozen=True, slots=True)
class Followed:
    """Of so many layings down the hours left were known so often, their 90 % band held the truth, its middle was off."""

    moments: int
    known: int
    within: float
    off_h: float


def followed(wearer: Wearer, lives: int) -> Followed:
    """Follow such lives of a month through the log, asked at each laying down; the truth is known to the life alone."""
    watch, full = Watch(uid="w", nickname="w", wound_by="crown and rotor"), runs_of(FULL_H)
    moments, within, off_h = 0, 0, []
    for seed in range(lives):
        chance = random.Random(f"{wearer} {seed}")
        fills_h = FILLS_H.get(wearer) or 14.0 * math.exp(chance.gauss(0.0, 0.4))
        life = WearLife(chance, FULL_H * math.exp(chance.gauss(0.0, 0.03)), fills_h)
        life.live(30)
        moments += len(life.laid)
        for at, left_h in life.laid:
            found = present_run(watch, run_downs(watch, [note for note in life.notes if note.at <= at]), full, at)
            if found.wound is None:
                continue
            low, mid, high = (hours_at_risk(found.curve, risk) for risk in (0.05, 0.5, 0.95))
            within += low <= left_h <= high
            off_h.append(abs(mid - left_h))
    return Followed(moments, len(off_h), within / len(off_h), sum(off_h) / len(off_h))
