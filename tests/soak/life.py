"""A simulated watch and its owner: what happens day by day, and what the owner notes of it."""

import random
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any

from tests.soak.truth import Truth
from tracker.core.timeline import Entry, Found, Hands, Service, Shown, Sighting, Wind

START = datetime(2020, 1, 4, tzinfo=UTC)
"""A Saturday: the watch is back from service."""
YEAR = timedelta(days=365.25)
MINUTE = timedelta(minutes=1)
DIAL_MIN = 720
WRONG, FORGOTTEN, FELT_LOW = 0.03, 0.05, 0.25
HALF_YEAR = 182
ABOUT_MIN = 30.0
"""How sure the time of a winding is that comes back to mind when asked."""


@dataclass
class Life:
    """Where the watch stands, and the notes so far; `unnoted` are windings that nobody noted.

    `reads`: the hands of a stopped watch are read.
    """

    truth: Truth
    throws: random.Random
    reads: bool = False
    stops_at: datetime = START
    lasts: timedelta = timedelta(0)
    known_stopped: bool = True
    entries: list[Entry] = field(default_factory=list)
    unnoted: list[Wind] = field(default_factory=list)

    def __post_init__(self) -> None:
        self._note(Service, START)

    def moment(self, day: int, hour: float, spread: float) -> datetime:
        """About this hour of a day."""
        about = hour + max(-2.0, min(2.0, self.throws.gauss(0.0, 1.0))) * spread
        return START + timedelta(days=day, hours=about)

    def wind(self, at: datetime) -> None:
        """Wind it fully; the hands are set if it had stopped."""
        going = at < self.stops_at
        shown = {} if going else self._shown()
        self.lasts = timedelta(hours=self.truth.run_h((at - START) / YEAR, self.throws))
        self.stops_at, self.known_stopped = at + self.lasts, False
        found: Found = "going" if going else "stopped"
        hands: Hands = "left" if going else "set now"
        if self.truth.misfit.startswith("forgotten") and self.throws.random() < FORGOTTEN:
            uid = f"unnoted {len(self.unnoted)}"
            self.unnoted.append(Wind(uid=uid, at=at, zone="UTC", within_min=ABOUT_MIN, found=found, hands=hands))
        else:
            self._note(Wind, at, found=found, hands=hands, **shown)

    def sensed(self) -> None:
        """A sensor saw the minute of the stop."""
        for seen, away in (("going", -MINUTE / 2), ("stopped", MINUTE / 2)):
            self._note(Sighting, self.stops_at + away, by_hand=False, seen=seen)
        self.known_stopped = True

    def look(self, at: datetime) -> None:
        """Note whether it is going, until it is known to have stopped."""
        if at < self.stops_at:
            self._note(Sighting, at, seen="going")
            if self.truth.misfit == "felt low" and self.stops_at - at < FELT_LOW * self.lasts:
                self.wind(at + MINUTE)
        elif not self.known_stopped:
            self._note(Sighting, at, seen="stopped", **self._shown())
            self.known_stopped = True

    def glance(self, at: datetime, chance: float) -> None:
        """Perhaps a look."""
        if self.throws.random() < chance:
            self.look(at)

    def _shown(self) -> dict[str, Any]:
        if not self.reads or self.known_stopped:
            return {}
        minutes = (self.stops_at - START) // MINUTE + self.throws.choice((-1, 0, 0, 0, 1))
        return {"shown": Shown(minutes=minutes % DIAL_MIN)}

    def _note(self, kind: Callable[..., Entry], at: datetime, *, by_hand: bool = True, **fields: Any) -> None:
        if by_hand and self.truth.misfit == "whole hours":
            at = START + timedelta(hours=round((at - START) / timedelta(hours=1)))
        if by_hand and self.truth.misfit == "wrong entries" and self.throws.random() < WRONG:
            at = max(START, at + timedelta(hours=self.throws.uniform(-12.0, 12.0)))
        self.entries.append(kind(uid=f"{len(self.entries):06}", at=at, zone="UTC", **fields))


def daily(life: Life, days: int) -> None:
    """Wound every morning."""
    for day in range(1, days):
        life.wind(life.moment(day, 7.5, 0.5))


def skips(life: Life, days: int) -> None:
    """Wound every morning but 3 % of them; in the evening of every other such day it is looked at."""
    for day in range(1, days):
        if life.throws.random() < 0.03:
            life.glance(life.moment(day, 20.5, 1.0), 0.5)
        else:
            life.wind(life.moment(day, 7.5, 0.5))


def rotates(life: Life, days: int, seen: float = 0.4) -> None:
    """Wound and worn a day, then at rest for three to six; at rest a look now and then, mornings and evenings."""
    day = 1
    while day < days:
        life.wind(life.moment(day, 7.5, 0.5))
        life.look(life.moment(day, 22.0, 0.5))
        rests = life.throws.randint(3, 6)
        for resting in range(day + 1, day + 1 + rests):
            life.glance(life.moment(resting, 7.5, 0.5), seen)
            life.glance(life.moment(resting, 22.0, 0.5), seen)
        day += 1 + rests


def weekend(life: Life, days: int) -> None:
    """Wound on Saturday and on Sunday; on Monday and Tuesday a look now and then."""
    for saturday in range(0, days - 4, 7):
        life.wind(life.moment(saturday, 9.0, 0.7))
        life.look(life.moment(saturday, 22.0, 0.5))
        life.wind(life.moment(saturday + 1, 9.0, 0.7))
        for later, hour in ((2, 20.0), (3, 7.0), (3, 20.0)):
            life.glance(life.moment(saturday + later, hour, 0.7), 0.5)


def sensor(life: Life, days: int) -> None:
    """As the rotation, at rest on a sensor that sees the minute of the stop."""
    day = 1
    while day < days:
        life.wind(life.moment(day, 7.5, 0.5))
        worn_until = life.moment(day, 22.0, 0.5)
        life.look(worn_until)
        day += 1 + life.throws.randint(3, 6)
        if worn_until + MINUTE < life.stops_at < START + timedelta(days=day):
            life.sensed()


def runs_down(life: Life, days: int) -> None:
    """Wound every morning; twice a year left to run down, its stop seen within half an hour."""
    day = 1
    while day < days:
        life.wind(life.moment(day, 7.5, 0.5))
        if day % HALF_YEAR == HALF_YEAR // 2:
            life.look(life.stops_at - life.throws.uniform(1.0, 20.0) * MINUTE)
            life.look(life.stops_at + life.throws.uniform(1.0, 20.0) * MINUTE)
            day = max(day, (life.stops_at - START).days)
        day += 1


HABITS: dict[str, Callable[[Life, int], None]] = {
    "daily, all “at least”": daily,
    "skips 3 % of days": skips,
    "rotates five": rotates,
    "rotates five, reads the hands": rotates,
    "weekend": weekend,
    "rest sensor": sensor,
    "daily, a run-down every six months": runs_down,
}


def live(habit: str, truth: Truth, throws: random.Random, years: float) -> Life:
    """So many years, with their notes."""
    life = Life(truth, throws, reads="reads" in habit)
    HABITS[habit](life, round(years * 365.25))
    return life
