"""Every life a hand-wound watch can have led, tried one by one on a coarse grid: what do the notes leave possible?

Written from the watch, not from the code under test: a winding at a true moment, a spring that lasts so many steps,
notes that see it going or stopped, hands that stand where they stopped.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import pairwise, product

import numpy as np
import numpy.typing as npt

from tracker.core.evidence import Evidence
from tracker.core.timeline import Entry, Service, Sighting, Wear, Wind

STEP = timedelta(minutes=10)
STEPS = 60 * 6
"""Longest run tried: anything that lasts so long is taken as open above."""
START = datetime(2026, 3, 2, tzinfo=UTC)

Possible = dict[str, npt.NDArray[np.bool_]]
_LASTS = np.arange(STEPS)


@dataclass
class Spring:
    """The present run: when it was wound, which lengths are still possible, when the hands were set."""

    uid: str
    wound: int
    possible: npt.NDArray[np.bool_]
    set_at: int | None
    stopped: bool = False
    touched: bool = False

    def going(self, at: int) -> None:
        self.possible &= at - self.wound <= _LASTS

    def stop(self, at: int) -> None:
        self.possible &= at - self.wound >= _LASTS
        self.stopped = True

    def shows(self, minutes: int) -> None:
        if self.set_at is None:
            return
        stops = self.wound + _LASTS
        off = np.abs((stops * 10 - minutes + 360) % 720 - 360)
        # The right turn of the dial is the reading's own moment: the tolerance counts up to there.
        moment = stops * 10 - ((stops * 10 - minutes + 360) % 720 - 360)
        self.possible &= off <= 10 + np.maximum(moment - self.set_at * 10, 0) / 1440


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
    set_at: int | None = None
    for note, at in zip(notes, moments, strict=True):
        if isinstance(note, Service):
            spring, set_at = None, None
        elif isinstance(note, Wind):
            _found(spring, note, at)
            lost = spring is None or spring.stopped or note.found != "going"
            if note.hands == "set now":
                set_at = step(note.at) - round(note.within_min / 10)
            elif note.hands != "left" or lost:
                set_at = None
            spring = Spring(note.uid, at, np.ones(STEPS, bool), set_at)
            springs.append(spring)
        elif spring is not None:
            _seen(spring, note, at)
            if spring.touched:
                spring, set_at = None, None
    return springs


def _found(spring: Spring | None, wind: Wind, at: int) -> None:
    if spring is None:
        return
    if wind.found == "going" and not spring.stopped:
        spring.going(at)
    elif wind.found == "stopped" and not spring.stopped:
        spring.stop(at)
    if wind.found != "going" and spring.stopped and wind.shown:
        spring.shows(wind.shown.minutes)


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
            spring.shows(note.shown.minutes)
    elif isinstance(note, Sighting) and note.seen == "stopped on purpose":
        if not spring.stopped:
            spring.going(at)
        spring.touched = True
