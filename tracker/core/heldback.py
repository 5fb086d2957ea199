"""A forgotten winding always lengthens a run: one that lasts too long to be believed is held back until it is known.

Held back, a run is no evidence and its sighting moves no wind-by; it asks once whether the watch was wound in between.
"""

from collections import deque
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from tracker.core.likelihood import Run
from tracker.core.rundown import History, Look, RunDown
from tracker.core.segment import runs_since_service, years_in_service

HELD_RISK = 0.975
"""A run beyond this point of the runs before it is held back."""

HARDLY_LONGER = 1.05
"""A forgotten winding lengthens by hours: a run so little longer than the longest of late is believed unasked."""

OF_LATE = 30
"""So many believed runs are looked back on for the longest: a watch in decline is not measured by its youth."""

Point = Callable[[tuple[Run, ...], float], float]
"""The hours that a run at this age (years) outlasts with chance 1 − HELD_RISK, from the runs before it."""


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
    """The runs believed so far; `floor_h` is what the point is known not to lie below, 0 if it must be worked out.

    Only a run that came to its end brings the point down, and hardly below that end: so the point is worked out anew
    only for a run that passes both this floor and the longest of late, which few do.
    """

    point: Point
    runs: list[Run] = field(default_factory=list)
    longest: deque[float] = field(default_factory=lambda: deque(maxlen=OF_LATE))
    floor_h: float = 0.0

    def beyond(self, hours: float, age_years: float) -> bool:
        if hours <= max(self.floor_h, HARDLY_LONGER * max(self.longest, default=0.0)):
            return False
        self.floor_h = self.point(tuple(self.runs), age_years)
        return hours > self.floor_h

    def add(self, run: Run) -> None:
        self.runs.append(run)
        if run.evidence.spans_h:
            self.longest.append(run.evidence.spans_h[0][0])
        if run.evidence.ended:
            self.floor_h = min(self.floor_h, run.evidence.spans_h[-1][1])


def held_back(history: History, point: Point) -> Held | None:
    """The run since the last service that is held back now, if any: a second one, or a "no", releases it.

    `point` gives the HELD_RISK point of a run at an age from the runs before it.
    """
    believed, waiting = _Believed(point), None
    waiting_run: Run | None = None
    for ended, run in runs_since_service(history):
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
    if not believed.beyond(hours, run.age_years):
        return None
    return _held(ended.wind_uid, [*ended.looks, Look(ended.end_uid, hours)], believed.floor_h)


def _current(history: History, believed: _Believed) -> Held | None:
    run = history.current
    if run is None or run.nothing_between or not run.counts_as_full:
        return None
    if not believed.beyond(run.seen_going_h, years_in_service(history, run.started_at)):
        return None
    return _held(run.wind_uid, run.looks, believed.floor_h)


def _held(run_uid: str, looks: Iterable[Look], point_h: float) -> Held:
    looks = list(looks)
    first = next(look for look in looks if look.hours > point_h)
    before = [look.hours for look in looks if look.hours <= point_h]
    return Held(run_uid=run_uid, entry_uid=first.uid, hours=first.hours, seen_going_h=max(before, default=0.0))
