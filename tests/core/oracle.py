"""Every life a hand-wound watch can have led, tried one by one on a coarse grid: what do the notes leave possible?

Written from the watch, not from the code under test: a winding at a true moment, a spring that lasts so many steps,
notes that see it going or stopped, hands that stand where they stopped.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise, product

import numpy as np
import numpy.typing as npt

from tracker.core.evidence import Evidence
from tracker.core.timeline import Entry, Service, Shown, Sighting, Wear, Wind

STEP = timedelta(minutes=10)
STEPS = 60 * 6
"""Longest run tried: anything that lasts so long is taken as open above."""
START = datetime(2026, 3, 2, tzinfo=UTC)

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
    """The present run: when it was wound, which lengths are still possible, what its hands are read against."""

    uid: str
    wound: int
    possible: npt.NDArray[np.bool_]
    hands: Hands | None
    stopped: bool = False
    touched: bool = False

    def going(self, at: int) -> None:
        self.possible &= at - self.wound <= _LASTS

    def stop(self, at: int) -> None:
        self.possible &= at - self.wound >= _LASTS
        self.stopped = True

    def shows(self, shown: Shown) -> None:
        if self.hands is None:
            return
        stops_min = (self.wound + _LASTS) * 10 + self.hands.offset_min
        after = (stops_min - shown.minutes + 360) % 720 - 360
        # The right turn of the dial is the reading's own moment: the tolerance counts up to there, the date is of then.
        read_min = stops_min - after
        since_min = np.maximum(read_min - self.hands.offset_min - self.hands.set_min, 0)
        self.possible &= np.abs(after) <= self.hands.slack_min + since_min / 1440
        if self.hands.dated and shown.date:
            self.possible &= np.array([_dated(minutes, self.hands.dated, shown.date) for minutes in read_min])


def _dated(hands_min: float, dated: date, shown: int) -> bool:
    """Lives are too short for a turn of the month: the day of the hands, and the next or former one about midnight."""
    stand = START + timedelta(minutes=hands_min)
    assert dated.month == stand.month == START.month
    near = [stand + timedelta(hours=shift) for shift in range(-4, 5)]
    changing = (stand + timedelta(hours=4)).date() != (stand - timedelta(hours=3, minutes=59)).date()
    return shown in ({moment.day for moment in near} if changing else {stand.day})


def possible_steps(notes: Sequence[Entry]) -> Possible:
    """By the uid of each winding, which lengths (in steps) some consistent life gives its run. Notes are in order."""
    found: Possible = {}
    for moments in _true_moments(notes):
        springs = _live(notes, moments)
        if all(spring.possible.any() for spring in springs):
            for spring in springs:
                found[spring.uid] = found.get(spring.uid, np.zeros(STEPS, bool)) | spring.possible
    return found


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


def _live(notes: Sequence[Entry], moments: Sequence[int]) -> list[Spring]:
    springs: list[Spring] = []
    spring: Spring | None = None
    hands: Hands | None = None
    stood: list[int] = []
    for note, at in zip(notes, moments, strict=True):
        if isinstance(note, Service):
            spring, hands, stood = None, None, []
        elif isinstance(note, Wind):
            _found(spring, note, at)
            if note.shown:
                stood.append(note.shown.minutes)
            lost = spring is None or spring.stopped or note.found != "going"
            hands = _after(note, None if lost else hands, stood)
            spring, stood = Spring(note.uid, at, np.ones(STEPS, bool), hands), []
            springs.append(spring)
        elif spring is not None:
            _seen(spring, note, at)
            if isinstance(note, Sighting) and note.shown:
                stood.append(note.shown.minutes)
            if spring.touched:
                spring, hands = None, None
    return springs


def _after(wind: Wind, left: Hands | None, stood: Sequence[int]) -> Hands | None:
    """The hands as a winding leaves them; its own width counts as a doubt of theirs."""
    noted_min = step(wind.at) * 10
    if wind.hands == "set now":
        set_min = noted_min - wind.within_min
        dated = (START + timedelta(minutes=set_min)).date() if wind.date_set else None
        return Hands(set_min, dated=dated)
    if wind.hands == "not set" and stood:
        apart = [(minutes - stood[0] + 360) % 720 - 360 for minutes in stood]
        low, high = stood[0] + max(apart) - 10, stood[0] + min(apart) + 10
        slack_min = 10 + (high - low) / 2 + wind.within_min
        return Hands(noted_min - wind.within_min, (low + high) / 2 - noted_min, slack_min)
    return left if wind.hands == "left" else None


def _found(spring: Spring | None, wind: Wind, at: int) -> None:
    if spring is None:
        return
    if wind.found == "going" and not spring.stopped:
        spring.going(at)
    elif wind.found == "stopped" and not spring.stopped:
        spring.stop(at)
    if wind.found != "going" and spring.stopped and wind.shown:
        spring.shows(wind.shown)


def _seen(spring: Spring, note: Entry, at: int) -> None:
    if isinstance(note, Wear):
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
