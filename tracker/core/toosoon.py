"""Did it stop too soon to be believed? A stop that a sensor alone tells counts from the 1 % point of its run on."""

import math
from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass, field
from itertools import groupby

from tracker.core.evidence import NONE, Evidence, at_least
from tracker.core.likelihood import Run
from tracker.core.rundown import RunDown
from tracker.core.segment import YEAR

EARLIEST_RISK = 0.01
"""Before this point of a run a stop told by a sensor alone is not believed."""

GROWN = 1.25
"""The point is worked out anew once there are so many times as many runs: it moves little."""

Earliest = Callable[[tuple[Run, ...], float], float]
"""The hours by which EARLIEST_RISK of runs at this age (years) have ended, as the runs before foretell."""


def late_enough(runs: Iterable[RunDown], doubted: Collection[str], earliest: Earliest) -> set[str]:
    """Of these runs, oldest first, the ends (uids among `doubted`) that came late enough to be believed.

    A run that is not known to its end, since it may have been wound meanwhile, is not believed to have ended.
    """
    believed = set[str]()
    for service, segment in groupby(runs, key=lambda run: run.service_at):
        before, since = _Before(earliest), service
        for run in segment:
            since = since or run.started_at
            age_years, heard_h = max(0.0, (run.started_at - since) / YEAR), run.looks[-1].hours if run.looks else 0.0
            told = run.evidence
            if run.end_uid in doubted:
                if run.heard_on and before.reached(heard_h, age_years):
                    believed.add(run.end_uid)
                else:
                    told = _up_to(heard_h)
            before.runs.append(Run(age_years, told))
    return believed


def _up_to(hours: float) -> Evidence:
    return at_least(hours) if hours > 0 else NONE


@dataclass(slots=True)
class _Before:
    """The runs before and the point they foretell."""

    earliest: Earliest
    runs: list[Run] = field(default_factory=list)
    point_h: float = math.inf
    of: float = 0.0

    def reached(self, hours: float, age_years: float) -> bool:
        if hours >= self.point_h and len(self.runs) <= GROWN * self.of:
            return True
        self.point_h, self.of = self.earliest(tuple(self.runs), age_years), len(self.runs)
        return hours >= self.point_h
