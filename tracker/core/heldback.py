"""A forgotten winding always lengthens a run: one that lasts too long to be believed is held back until it is known.

Held back, a run is no evidence and its sighting moves no wind-by; it asks once whether the watch was wound in between.
Two things make a run hard to believe: it outlasts nearly all that the runs before it foretell; or it was seen going though
its owner would have wound it meanwhile, and by then more likely to have stopped.
"""

import math
from collections import deque
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from tracker.core.likelihood import Run
from tracker.core.prior import Prior
from tracker.core.rundown import History, Look, RunDown
from tracker.core.segment import runs_since_service, years_in_service

HELD_RISK = 0.975
"""A run beyond this point of the runs before it is held back."""

MISSING_RISK = 0.5
"""So is one seen going beyond this point from which a usual winding is missing. If a winding is as easily left unnoted as
left out (common practice, no source), it is then at least two to one that it was made."""

MISSING = 1.5
"""A winding is missing from a run so many times as long as the usual interval between windings …"""

USUAL = 0.8
"""… which this share of those OF_LATE do not exceed …"""

HABIT = 14
"""… once so many are known."""

HARDLY_LONGER = 1.05
"""A forgotten winding lengthens by hours: a run so little longer than the longest of late is not too long."""

OF_LATE = 30
"""So many believed runs and intervals are looked back on: a watch in decline is not measured by its youth."""

_HOUR = timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class Foreseen:
    """The hours by which MISSING_RISK and HELD_RISK of runs have ended."""

    missing_h: float
    held_h: float


Foresight = Callable[[tuple[Run, ...], float], Foreseen]
"""What the runs before it foretell of a run at this age (years)."""


def foreseen(runs: Sequence[Run], prior: Prior, age_years: float) -> Foreseen:
    """Both points of how long a run at this age lasts, as these runs foretell it without any sudden change."""
    from tracker.core.lasting import ended_by  # noqa: PLC0415 -- half a second, and only who estimates needs it

    return Foreseen(*ended_by(runs, prior, age_years, (MISSING_RISK, HELD_RISK)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """The one run held back, and its question: was the watch wound in between?

    `entry_uid` is the first note that is too late to be believed, `hours` how long after the wind; `seen_going_h` how
    long the run is believed to have been going.
    """

    run_uid: str
    entry_uid: str
    hours: float
    seen_going_h: float


@dataclass(slots=True)
class _Believed:
    """The runs believed so far and the intervals between windings; `floor` is what the points are known not to lie below.

    Only a run that came to its end brings the points down, and hardly below that end: so they are worked out anew only
    for a run beyond a bound that this floor gives, which few are.
    """

    foresight: Foresight
    runs: list[Run] = field(default_factory=list)
    longest: deque[float] = field(default_factory=lambda: deque(maxlen=OF_LATE))
    intervals: deque[float] = field(default_factory=lambda: deque(maxlen=OF_LATE))
    wound_at: datetime | None = None
    floor: Foreseen = Foreseen(0.0, 0.0)

    def bound(self, hours: float, age_years: float, *, seen_going: bool) -> float | None:
        """The hours that a run is believed to have lasted at most; None if it is believed whole."""
        if self._within(hours, seen_going=seen_going):
            return None
        self.floor = self.foresight(tuple(self.runs), age_years)
        return None if self._within(hours, seen_going=seen_going) else self._bound(seen_going=seen_going)

    def _within(self, hours: float, *, seen_going: bool) -> bool:
        """Whether so many hours lie within the bound: the floor, which is at hand, tells it of most runs."""
        if hours > self.floor.held_h and hours > self._hardly_longer_h():
            return False
        return not seen_going or hours <= self.floor.missing_h or hours <= self._missing_from_h()

    def _bound(self, *, seen_going: bool) -> float:
        too_long_h = max(self.floor.held_h, self._hardly_longer_h())
        return min(too_long_h, max(self.floor.missing_h, self._missing_from_h())) if seen_going else too_long_h

    def _hardly_longer_h(self) -> float:
        return HARDLY_LONGER * max(self.longest, default=0.0)

    def _missing_from_h(self) -> float:
        if len(self.intervals) < HABIT:
            return math.inf
        return MISSING * sorted(self.intervals)[math.ceil(USUAL * len(self.intervals)) - 1]

    def wound(self, at: datetime) -> None:
        """A run began."""
        if self.wound_at is not None:
            self.intervals.append((at - self.wound_at) / _HOUR)
        self.wound_at = at

    def add(self, run: Run) -> None:
        """A run is believed."""
        self.runs.append(run)
        if run.evidence.spans_h:
            self.longest.append(run.evidence.spans_h[0][0])
        if run.evidence.ended:
            end_h = run.evidence.spans_h[-1][1]
            self.floor = Foreseen(min(self.floor.missing_h, end_h), min(self.floor.held_h, end_h))


def held_back(history: History, foresight: Foresight) -> Held | None:
    """The run since the last service that is held back now, if any: a second one, or a "no", releases it."""
    believed, waiting = _Believed(foresight), None
    waiting_run: Run | None = None
    for ended, run in runs_since_service(history):
        believed.wound(ended.started_at)
        held = _ended(ended, run, believed)
        if held is not None and waiting is None:
            waiting, waiting_run = held, run
            continue
        if waiting_run is not None and (held is not None or ended.nothing_between):
            believed.add(waiting_run)
            waiting = waiting_run = None
        believed.add(run)
    now = _current(history, believed)
    if waiting is None:
        return now
    released = now is not None or (history.current is not None and history.current.nothing_between)
    return None if released else waiting


def _ended(ended: RunDown, run: Run, believed: _Believed) -> Held | None:
    if ended.nothing_between or not run.evidence.spans_h:
        return None
    hours = run.evidence.spans_h[0][0]
    bound_h = believed.bound(hours, run.age_years, seen_going=not run.evidence.ended)
    return None if bound_h is None else _held(ended.wind_uid, [*ended.looks, Look(ended.end_uid, hours)], bound_h)


def _current(history: History, believed: _Believed) -> Held | None:
    run = history.current
    if run is None or run.nothing_between or not run.counts_as_full:
        return None
    believed.wound(run.started_at)
    bound_h = believed.bound(run.seen_going_h, years_in_service(history, run.started_at), seen_going=True)
    return None if bound_h is None else _held(run.wind_uid, run.looks, bound_h)


def _held(run_uid: str, looks: Iterable[Look], bound_h: float) -> Held:
    looks = list(looks)
    first = next(look for look in looks if look.hours > bound_h)
    before = [look.hours for look in looks if look.hours <= bound_h]
    return Held(run_uid=run_uid, entry_uid=first.uid, hours=first.hours, seen_going_h=max(before, default=0.0))
