"""The truth of a seat of a winder: its programme, when it lost power, when it failed, and so every turn it made."""

from dataclasses import dataclass
from random import Random
from typing import Literal, NamedTuple

from sensors.simulated.life import WEEK_S

Ways = Literal["clockwise", "anticlockwise", "by turns"]


class Turned(NamedTuple):
    """Turns made since the beginning, by direction."""

    clockwise: float
    anticlockwise: float

    @property
    def turns(self) -> float:
        """In either direction."""
        return self.clockwise + self.anticlockwise


@dataclass(frozen=True, slots=True)
class Seat:
    """One seat: 720 turns a day where nothing else is said. It turns for `on_min` minutes and rests for `off_min`, from `begin_s` until it fails.

    `ways`: which way each bout goes; *by turns* begins clockwise. `resets_s` are losses of power after which its counter
    begins at 0. Moments are seconds since 1970.
    """

    name: str
    begin_s: float
    turns_per_min: float = 8.0
    on_min: float = 5.3
    off_min: float = 79.5
    ways: Ways = "by turns"
    fails_s: float | None = None
    resets_s: tuple[float, ...] = ()

    def turned(self, at_s: float) -> Turned:
        """All turns made up to a moment."""
        after_min = max(0.0, min(at_s, self.fails_s or at_s) - self.begin_s) / 60.0
        bouts, into_min = divmod(after_min, self.on_min + self.off_min)
        last_min = min(into_min, self.on_min)
        if self.ways != "by turns":
            turns = self.turns_per_min * (bouts * self.on_min + last_min)
            return Turned(turns, 0.0) if self.ways == "clockwise" else Turned(0.0, turns)
        odd = bouts % 2.0
        forth = self.on_min * (bouts + odd) / 2.0 + (0.0 if odd else last_min)
        back = self.on_min * (bouts - odd) / 2.0 + (last_min if odd else 0.0)
        return Turned(self.turns_per_min * forth, self.turns_per_min * back)

    def way(self, at_s: float) -> int:
        """1 if it turns clockwise at a moment, -1 if anticlockwise, 0 if it rests."""
        before, after = self.turned(at_s - 1.0), self.turned(at_s)
        return (after.clockwise > before.clockwise) - (after.anticlockwise > before.anticlockwise)

    def latest_way(self, at_s: float) -> int:
        """1 if its latest turns were clockwise, -1 if anticlockwise."""
        if self.ways != "by turns":
            return 1 if self.ways == "clockwise" else -1
        after_min = max(0.0, min(at_s, self.fails_s or at_s) - self.begin_s) / 60.0
        return -1 if after_min // (self.on_min + self.off_min) % 2.0 else 1

    def counted(self, at_s: float) -> float:
        """What its counter shows."""
        since_s = max((reset for reset in self.resets_s if reset <= at_s), default=self.begin_s)
        return self.turned(at_s).turns - self.turned(since_s).turns


def power_lost(chance: Random, begin_s: float, end_s: float, a_week: float) -> tuple[float, ...]:
    """Moments at which the power goes, so many a week."""
    moments, at_s = [], begin_s
    while a_week > 0.0 and (at_s := at_s + chance.expovariate(a_week / WEEK_S)) < end_s:
        moments.append(at_s)
    return tuple(moments)
