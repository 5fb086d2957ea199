"""How do we know? What each run has contributed to the reserve: what would be said without it."""

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from zoneinfo import ZoneInfo

import numpy as np

from tracker.core import reweigh
from tracker.core.likelihood import Run
from tracker.core.paths import Paths, drawn
from tracker.core.posterior import level_now
from tracker.core.prior import Prior
from tracker.core.reserve import posterior_of, reserve_now
from tracker.core.rundown import RunDown
from tracker.core.spread import Band
from tracker.core.telling import Looks, looks

ALONE = 24
"""Up to so many runs each is weighed by itself, beyond by month and kind."""
WORK, FEWEST, MOST = 400_000, 2048, 16_384
"""Courses times runs to be worked through, and the bounds of the number of courses."""
SPREAD_OUT = 0.5
"""Heat at which courses are drawn that are to be weighed anew: a normal spread becomes √2 times as wide."""
LEAST_IN_TAIL = 20.0
NOTABLE = 0.01
ANEW, LONG = 2, 60
"""The runs are worked out anew without a group where too few courses are left in a tail, and where a log is not LONG and
the answer would move notably; but for no more than the ANEW groups that move it most, for each takes an estimate's time."""
FEW = 3
"""Of so few groups all are: one of them alone may be most of what is known."""

Group = tuple[int, ...]
"""Places of runs that are weighed together."""


@dataclass(frozen=True, slots=True)
class Without:
    """What would be said of the reserve now (hours; 5, 50, 95 %) if these runs had not been noted."""

    runs: Group
    reserve_h: Band


@dataclass(frozen=True, slots=True)
class Explanation:
    """Where an answer comes from: the prior's own answer for the present age, and what each group of runs adds.

    In hours; `without` is in the order of the groups asked for. `looks` is what a look at the present run would tell.
    """

    prior_h: Band
    without: tuple[Without, ...]
    looks: Looks


def grouped(runs: Sequence[RunDown], zone: ZoneInfo) -> tuple[Group, ...]:
    """The runs that tell something, one by one where they are few, else those of a kind by the month they began in."""
    telling = [place for place, run in enumerate(runs) if run.evidence.spans_h]
    if len(telling) <= ALONE:
        return tuple((place,) for place in telling)
    months: dict[tuple[str, str], list[int]] = defaultdict(list)
    for place in telling:
        months[f"{runs[place].started_at.astimezone(zone):%Y-%m}", runs[place].evidence.kind].append(place)
    return tuple(tuple(places) for places in months.values())


def explain(
    runs: Sequence[Run],
    prior: Prior,
    groups: Sequence[Group],
    *,
    now_years: float,
    reserve_h: Band,
    seen_going_h: float = 0.0,
    dial_hours: int = 12,
) -> Explanation:
    """Weigh each group by leaving it out, and the looks at a present run seen going at so many hours.

    `reserve_h` is what is said with all runs (tracker.core.reserve.estimate). Courses drawn from all runs are weighed
    by one over the likelihood of those left out; where too few of them then count, the rest is worked out anew. That
    comes within 0.5 % of the hours for the middle and 1 % for the ends; an end that lies between two moments of the
    hands is known less well.
    """
    posterior = posterior_of(runs, prior, now_years=now_years)
    known = level_now(posterior, now_years)
    count = int(np.clip(WORK / max(len(runs), 1), FEWEST, MOST))
    paths = drawn(posterior, prior, now_years, count, heat=SPREAD_OUT)
    left = _without(paths, runs, prior, groups, now_years=now_years, reserve_h=reserve_h)
    return Explanation(
        prior_h=reserve_now((), prior, now_years=now_years),
        without=tuple(map(Without, groups, left)),
        looks=looks(*known, prior.scale_h, seen_going_h=seen_going_h, dial_hours=dial_hours),
    )


def _without(
    paths: Paths, runs: Sequence[Run], prior: Prior, groups: Sequence[Group], *, now_years: float, reserve_h: Band
) -> list[Band]:
    level = paths.level_at(now_years)
    whole = reweigh.band(level, reweigh.weights(paths.log_weight))
    found, thin = [], set[int]()
    for place, group in enumerate(groups):
        told = reweigh.log_likelihood(paths, [runs[index] for index in group], prior.scale_h)
        weight = reweigh.weights(paths.log_weight - told)
        found.append(_moved(reserve_h, whole, reweigh.band(level, weight)))
        if reweigh.least_in_tail(level, weight) < LEAST_IN_TAIL:
            thin.add(place)
    move = [moved(reserve_h, each) for each in found]
    rough = [place for place in thin if move[place] > NOTABLE / 10]
    rough += [place for place, by in enumerate(move) if by > NOTABLE and len(runs) <= LONG and place not in thin]
    few = len(groups) <= FEW
    for place in range(len(groups)) if few else sorted(rough, key=lambda place: -move[place])[:ANEW]:
        left = [run for index, run in enumerate(runs) if index not in groups[place]]
        found[place] = reserve_now(left, prior, now_years=now_years)
    return found


def _moved(reserve_h: Band, whole: Band, without: Band) -> Band:
    """The answer in hours, moved as the courses' own answer moves."""
    points = zip(_points(reserve_h), _points(whole), _points(without), strict=True)
    return Band(*(hours * math.exp(after - before) for hours, before, after in points))


def moved(reserve_h: Band, without: Band) -> float:
    """How far the answer moves: the largest move of a point of its band, as a share of the hours."""
    return max(abs(math.log(b / a)) for a, b in zip(_points(reserve_h), _points(without), strict=True))


def _points(band: Band) -> tuple[float, float, float]:
    return band.low, band.mid, band.high
