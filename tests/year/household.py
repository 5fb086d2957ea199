"""A simulated owner's watches and what is true of them, with what happens to each as it is wound."""

import random
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from functools import lru_cache

import numpy as np

from tests.soak.truth import NORMAL, ODD_SHARE, Fate, Truth
from tracker.core.curve import Curve, curve_from
from tracker.core.rundown import History
from tracker.core.timeline import Entry, Found, Hands, Service, Shown, Wind
from tracker.core.watch import Habit, Stake, Watch
from tracker.known import Answer

SERVICED = datetime(2025, 1, 4, tzinfo=UTC)
YEAR, HOUR, MINUTE = timedelta(days=365.25), timedelta(hours=1), timedelta(minutes=1)
HOUSEHOLDS = {
    "some last a day and a half": (36, 38, 40, 42, 44, 48, 50, 56, 65, 72, 80, 120, 168, 192),
    "all last two days and a half": (60, 65, 68, 70, 72, 72, 80, 80, 96, 100, 120, 144, 168, 192),
}
"""Stated hours. The first owner can leave out no morning, whatever the plan."""
WORN, EVERY, SUNDAYS = {2, 5}, 8, 13
LOSES, CALENDAR = 7, 9
"""Places of those wound when worn, every so many days and on Sundays, of the watch that loses 5 % a year and of the
perpetual calendar. The others are kept going."""
READS = 0.5
"""How often the hands of a stopped watch are read."""
DIAL_MIN = 720


@dataclass
class Kept:
    """A watch, its truth and its log so far. A run's length hangs on owner, watch and number of the run alone.

    `notes`: its owner notes that it was going; one that stands has to be set, which is noted of any. `history` and
    `answer` are what the program read and worked out of so many entries.
    """

    watch: Watch
    truth: Truth
    notes: bool
    key: str
    runs: int = 0
    wound_at: datetime = SERVICED
    ends_at: datetime = SERVICED
    clean: bool = True
    entries: list[Entry] = field(default_factory=list)
    history: tuple[int, History] | None = None
    answer: tuple[int, Answer] | None = None

    @property
    def name(self) -> str:
        """What it is called by."""
        return self.watch.uid

    @property
    def to_go(self) -> bool:
        """Whether it should be found going."""
        return self.watch.habit != "when worn"

    def wind(self, at: datetime) -> None:
        """Wind it fully and note it; one that stands is set."""
        stopped = self.ends_at <= at
        found: Found = "stopped" if stopped else "going" if self.notes else "not noticed"
        read = stopped and self.runs > 0 and random.Random(f"{self.key} read {self.runs}").random() < READS
        shown = Shown(minutes=(self.ends_at - SERVICED) // MINUTE % DIAL_MIN) if read else None
        uid = f"{len(self.entries):06}"
        hands: Hands = "set now" if stopped else "left"
        self.entries.append(Wind(uid=uid, at=at, zone="UTC", found=found, hands=hands, shown=shown))
        self._start(at)

    def _start(self, at: datetime) -> None:
        self.runs += 1
        lot = f"{self.key} run {self.runs}"
        self.wound_at, self.clean = at, random.Random(lot).random() >= ODD_SHARE
        self.ends_at = at + self.truth.run_h((at - SERVICED) / YEAR, random.Random(lot)) * HOUR

    @property
    def true_curve(self) -> Curve:
        """How long its clean runs last now."""
        return true_curve(self.truth.median_h((self.wound_at - SERVICED) / YEAR), self.truth.scatter)


@lru_cache(maxsize=4096)
def true_curve(median_h: float, scatter: float) -> Curve:
    """Log-normal runs as the program keeps such a curve."""
    places = np.linspace(-6.0, 6.0, 2401)
    going = np.array([NORMAL.cdf(-place) for place in places])
    return curve_from(np.log(median_h) + scatter * places, going)


def household(owner: int, stated: tuple[int, ...]) -> list[Kept]:
    """The watches of one owner: makers' figures off by some 5 %, runs by some 4 %."""
    throws, kept = random.Random(f"household {owner}"), []
    for place, hours in enumerate(stated):
        fate: Fate = "5 % a year" if place == LOSES else "stable"
        level_h = hours * np.exp(throws.gauss(-0.02, 0.05))
        scatter = 0.038 * np.exp(throws.gauss(0.0, 0.3))
        truth = Truth(float(hours), float(level_h), float(scatter), fate, 0.0, "none")
        stake: Stake = "calendar" if place == CALENDAR else "date" if place % 3 == 0 else "time only"
        watch = _registered(f"w{place:02}", place, float(hours), stake)
        service = Service(uid="service", at=SERVICED, zone="UTC")
        kept.append(Kept(watch, truth, place % 4 != 2, f"{owner} {place} {hours}", entries=[service]))
    return kept


def _registered(name: str, place: int, hours: float, stake: Stake) -> Watch:
    habits: dict[int, Habit] = {SUNDAYS: "on weekdays", EVERY: "every n days", **dict.fromkeys(WORN, "when worn")}
    return Watch(
        uid=name,
        nickname=name,
        stated_reserve_h=hours,
        habit=habits.get(place, "keep going"),
        habit_weekdays=("Sun",) if place == SUNDAYS else (),
        habit_every_days=int(hours // 30) if place == EVERY else None,
        stake=stake,
    )
