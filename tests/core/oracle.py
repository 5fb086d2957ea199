"""Every life a watch can have led, tried one by one on a coarse grid: what do the notes leave possible?

Written from the watch, not from the code under test: a winding at a true moment, a spring that lasts so many steps,
notes that see it going or stopped, hands that stand where they stopped; worn, an automatic is wound by its rotor.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from functools import cache
from itertools import pairwise, product

import numpy as np
import numpy.typing as npt

from tracker.core.evidence import Evidence
from tracker.core.timeline import Entry, OnWinder, Service, Shown, Sighting, Silent, Unheard, Wear, Wind
from tracker.core.watch import Watch

STEP = timedelta(minutes=10)
STEPS = 60 * 6
"""Longest run tried: anything that lasts so long is taken as open above."""
START = datetime(2026, 3, 2, tzinfo=UTC)
ONE_ACT = timedelta(minutes=15)
SURELY_GOING = timedelta(hours=12)

Possible = dict[str, npt.NDArray[np.bool_]]
_LASTS = np.arange(STEPS)


@dataclass
class Hands:
    """What hands show: minutes since START and `offset_min`, within `slack_min` and a minute a day since `set_min`."""

    set_min: float
    offset_min: float = 0.0
    slack_min: float = 10.0
    dated: date | None = None


@dataclass
class Spring:
    """One run: when it may have been wound, which lengths are still possible for each, what its hands are read against.

    A spring wound again within one act was full at some moment from the first to the last of these windings. `tells` is
    false for one that wearing has wound on. `lost`: its sensor lost it, and what that tells later may be of another one.
    """

    uid: str
    wound: range
    hands: Hands | None
    dial_min: int
    tells: bool = True
    lost: bool = False
    stopped: bool = False
    nobody_saw_it_stop: bool = False
    touched: bool = False
    possible: npt.NDArray[np.bool_] = field(init=False)

    def __post_init__(self) -> None:
        self.possible = np.ones((len(self.wound), STEPS), bool)

    @property
    def lengths(self) -> npt.NDArray[np.bool_]:
        return np.any(self.possible, axis=0) if self.tells else np.ones(STEPS, bool)

    def again(self, at: int, hands: Hands | None) -> None:
        self.wound, self.hands, self.lost = range(self.wound.start, at + 1), hands, False
        self.__post_init__()

    def going(self, at: int) -> None:
        self.possible &= self._since(at) <= _LASTS

    def stop(self, at: int) -> None:
        self.possible &= self._since(at) >= _LASTS
        self.stopped = True

    def _since(self, at: int) -> npt.NDArray[np.int_]:
        return at - np.array(self.wound)[:, np.newaxis]

    def shows(self, shown: Shown) -> None:
        if self.hands is None or self.nobody_saw_it_stop:
            return
        half = self.dial_min // 2
        stops_min = (np.array(self.wound)[:, np.newaxis] + _LASTS) * 10 + self.hands.offset_min
        after = (stops_min - shown.minutes + half) % self.dial_min - half
        # The right turn of the dial is the reading's own moment: the tolerance counts up to there, the date is of then.
        read_min = stops_min - after
        since_min = np.maximum(read_min - self.hands.offset_min - self.hands.set_min, 0)
        self.possible &= np.abs(after) <= self.hands.slack_min + since_min / 1440
        if self.hands.dated and shown.date:
            assert self.hands.dated.month == START.month
            fits = [shown.date in _days(minutes) for minutes in read_min.flat]
            self.possible &= np.array(fits).reshape(read_min.shape)


@cache
def _days(hands_min: float) -> frozenset[int]:
    """Lives are too short for a turn of the month: the day of the hands, and the next or former one about midnight."""
    stand = START + timedelta(minutes=hands_min)
    near = [stand + timedelta(hours=shift) for shift in range(-4, 5)]
    changing = (stand + timedelta(hours=4)).date() != (stand - timedelta(hours=3, minutes=59)).date()
    return frozenset(moment.day for moment in near) if changing else frozenset({stand.day})


def possible_steps(watch: Watch, notes: Sequence[Entry]) -> Possible:
    """By the uid of each winding, which lengths (in steps) some consistent life gives its run. Notes are in order."""
    found: Possible = {}
    for moments in _true_moments(notes):
        life = Live(watch)
        life.live(notes, moments)
        if all(spring.lengths.any() for spring in life.springs):
            for spring in life.springs:
                found[spring.uid] = found.get(spring.uid, np.zeros(STEPS, bool)) | spring.lengths
    return found


def shortened(watch: Watch, notes: Sequence[Entry]) -> set[str]:
    """The uids of the windings after which the chronograph ran or the alarm rang, as noted up to the next winding."""
    life = Live(watch)
    life.live(notes, [step(note.at) for note in notes])
    return life.shortened


def on_grid(evidence: Evidence) -> npt.NDArray[np.bool_]:
    """The same from evidence: which whole steps lie in its spans; all of them if there is none."""
    if evidence.kind == "none":
        return np.ones(STEPS, bool)
    hours = _LASTS * (STEP / timedelta(hours=1))
    inside = np.zeros(STEPS, bool)
    for low, high in evidence.spans_h:
        inside |= (hours >= low - 1e-9) & (hours <= high + 1e-9)
    return inside


def step(at: datetime) -> int:
    return round((at - START) / STEP)


def _true_moments(notes: Sequence[Entry]) -> Iterator[tuple[int, ...]]:
    choices = []
    for note in notes:
        width = round(note.within_min / 10)
        choices.append(range(step(note.at) - width, step(note.at) + width + 1))
    for moments in product(*choices):
        if all(early <= late for early, late in pairwise(moments)):
            yield moments


class Live:
    """One life with known true moments: its springs, and what is seen of them."""

    def __init__(self, watch: Watch) -> None:
        self.watch = watch
        self.springs: list[Spring] = []
        self.spring: Spring | None = None
        self.hands: Hands | None = None
        self.stood: list[int] = []
        self.on_wrist = False
        self.on_winder = False
        self.seen_going: datetime | None = None
        self.wound: Wind | None = None
        self.begun: list[str] = []
        self.shortened: set[str] = set()

    def live(self, notes: Sequence[Entry], moments: Sequence[int]) -> None:
        for note, at in zip(notes, moments, strict=True):
            if isinstance(note, Wind | Sighting) and note.side_spring_used:
                self.shortened |= set(self.begun[-2:-1] if self.repeats(note) else self.begun[-1:])
            if isinstance(note, Service):
                self.spring, self.hands, self.stood, self.seen_going = None, None, [], None
                self.on_wrist = self.on_winder = False
                self.begun = []
            elif isinstance(note, Wind):
                self.wind(note, at)
            elif isinstance(note, Wear | OnWinder) and self.watch.by_rotor:
                self.move(note, at)
            elif isinstance(note, Unheard):
                if self.spring is not None:
                    self.spring.lost = True
            elif isinstance(note, Silent):
                self.seen_going, self.stood = None, []
            else:
                self.see(note, at)
            self.wound = note if isinstance(note, Wind) and note.amount == "full" else None

    def repeats(self, note: Entry) -> bool:
        full = isinstance(note, Wind) and note.amount == "full"
        return full and self.wound is not None and note.at - self.wound.at <= ONE_ACT

    def wind(self, wind: Wind, at: int) -> None:
        if self.spring is not None and self.repeats(wind):
            self.hands = self.hands if wind.hands == "not set" else self.set_by(wind, at, self.hands)
            self.spring.again(at, self.hands)
            self.seen_going = wind.at
            return
        self.found(wind, at)
        self.stood += [wind.shown.minutes] if wind.shown else []
        lost = (self.spring is not None and self.spring.stopped) or wind.found != "going"
        self.hands = self.set_by(wind, at, None if lost else self.hands)
        self.stood = []
        self.begin(wind, at, tells=not (self.on_wrist or self.on_winder))

    def begin(self, note: Entry, at: int, *, tells: bool = True) -> None:
        self.spring = Spring(note.uid, range(at, at + 1), self.hands, self.watch.dial_hours * 60, tells)
        self.springs.append(self.spring)
        self.begun.append(note.uid)
        self.seen_going = note.at

    def set_by(self, wind: Wind, at: int, left: Hands | None) -> Hands | None:
        """The hands as a winding leaves them: set to the clock, or running on from where they stood at its true moment."""
        if wind.hands == "set now":
            set_min = step(wind.at) * 10 - wind.within_min
            dated = (START + timedelta(minutes=set_min)).date() if wind.date_set else None
            return Hands(set_min, dated=dated)
        if wind.hands == "not set" and self.stood:
            half = self.watch.dial_hours * 30
            apart = [(minutes - self.stood[0] + half) % (2 * half) - half for minutes in self.stood]
            low, high = self.stood[0] + max(apart) - 10, self.stood[0] + min(apart) + 10
            return Hands(at * 10, (low + high) / 2 - at * 10, 10 + (high - low) / 2)
        return left if wind.hands == "left" else None

    def found(self, wind: Wind, at: int) -> None:
        spring = self.spring
        self.on_wrist = self.on_wrist and wind.found != "stopped"
        self.on_winder = self.on_winder and wind.found != "stopped"
        if spring is None:
            return
        if wind.found == "going" and not spring.stopped:
            spring.going(at)
        elif wind.found == "stopped" and not spring.stopped:
            spring.stop(at)
        if wind.found != "going" and spring.stopped and wind.shown:
            spring.shows(wind.shown)

    def wear(self, wear: Wear, at: int) -> None:
        """On the wrist the rotor winds it; its hands are as they were only if it was going when it was put on."""
        surely = self.seen_going is not None and wear.at - self.seen_going <= SURELY_GOING
        if wear.act == "put on" or not self.on_wrist:
            self.hands = self.hands if surely else None
        if wear.act == "laid down":
            if self.spring is not None:
                self.spring.tells = self.spring.stopped
            self.begin(wear, at)
        else:
            self.spring = None
            self.begun.append("worn")
        self.on_wrist, self.on_winder, self.stood, self.seen_going = wear.act == "put on", False, [], wear.at

    def move(self, note: Wear | OnWinder, at: int) -> None:
        if isinstance(note, Wear):
            self.wear(note, at)
        else:
            self.winder(note, at)

    def winder(self, note: OnWinder, at: int) -> None:
        """A winder winds it as wear does; whether it kept it going nobody saw."""
        if self.seen_going is None or note.at - self.seen_going > SURELY_GOING:
            self.hands = None
        if note.act == "off":
            if self.spring is not None:
                self.spring.tells = self.spring.stopped
            self.begin(note, at)
        else:
            self.spring = None
            self.begun.append("on a winder")
        self.on_winder, self.on_wrist, self.stood, self.seen_going = note.act == "on", False, [], note.at

    def see(self, note: Entry, at: int) -> None:
        if isinstance(note, Wear) or (isinstance(note, Sighting) and note.seen == "going"):
            self.seen_going, self.stood = note.at, []
        elif isinstance(note, Sighting) and note.seen != "not noticed":
            self.on_wrist, self.on_winder, self.seen_going = False, False, None
        if self.spring is not None:
            _seen(self.spring, note, at)
            if self.spring.touched:
                self.spring, self.hands = None, None
        if isinstance(note, Sighting) and note.shown:
            self.stood.append(note.shown.minutes)


def _seen(spring: Spring, note: Entry, at: int) -> None:
    if spring.lost and isinstance(note, Sighting) and note.by_sensor:
        spring.touched = spring.stopped and note.seen == "going"
        spring.nobody_saw_it_stop = spring.nobody_saw_it_stop or (note.seen == "stopped" and not spring.stopped)
        spring.stopped = spring.stopped or note.seen == "stopped"
    elif isinstance(note, Wear):
        spring.going(at)
    elif isinstance(note, Sighting) and note.seen == "going":
        if spring.stopped:
            spring.touched = True
        else:
            spring.going(at)
    elif isinstance(note, Sighting) and note.seen == "stopped":
        if not spring.stopped:
            spring.stop(at)
        if note.shown:
            spring.shows(note.shown)
    elif isinstance(note, Sighting) and note.seen == "stopped on purpose":
        if not spring.stopped:
            spring.going(at)
        spring.touched = True
