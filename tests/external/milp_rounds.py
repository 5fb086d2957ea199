"""The same plan asked of an independent exact solver: HiGHS (the open-source solver within scipy.optimize.milp).

Each watch is a path over the rounds from now to the end along the steps its deadlines allow; a round is open if any path
uses it. Aims are asked for one after the other, each held while the next is sought.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

from tracker.core.rounds.problem import Kept

MINUTE = timedelta(minutes=1)


@dataclass(frozen=True)
class Step:
    """A watch wound in round `start` (-1: now) and next in `stop` (m: the end), so many minutes before its deadline.

    A first winding in a given round has no say in the margin.
    """

    watch: int
    start: int
    stop: int
    margin: float | None


def steps(watches: Sequence[Kept], rounds: Sequence[datetime], end: datetime, slack: timedelta) -> list[Step]:
    m = len(rounds)
    found = []
    for who, watch in enumerate(watches):
        lasts = timedelta(hours=watch.lasts_h) - slack
        if watch.pinned in rounds:
            found.append(Step(who, -1, rounds.index(watch.pinned), None))
        for start in range(0 if watch.pinned in rounds else -1, m):
            deadline = watch.wind_by - slack if start < 0 else rounds[start] + lasts
            later = range(start + 1, m)
            in_time = [stop for stop in later if rounds[stop] <= deadline]
            found += [Step(who, start, stop, (deadline - rounds[stop]) / MINUTE) for stop in in_time]
            if not in_time and start + 1 < m:
                found.append(Step(who, start, start + 1, None))
            if deadline >= end or start + 1 == m:
                found.append(Step(who, start, m, None))
    return found


def solved(
    watches: Sequence[Kept], rounds: Sequence[datetime], end: datetime, slack: timedelta
) -> tuple[int, int, float]:
    """Fewest rounds, fewest windings of these, and the largest least margin of these in minutes (inf: none)."""
    each, m = steps(watches, rounds, end, slack), len(rounds)
    n = len(each)
    opens, margin, size = n, n + m, n + m + 1
    longest = max([step.margin for step in each if step.margin is not None], default=0.0)
    rows = _flows(each, len(watches), m) + _openings(each, opens)
    # The least margin is no more than that of a step that is taken.
    rows += [
        ({margin: 1.0, place: longest - step.margin}, -np.inf, longest)
        for place, step in enumerate(each)
        if step.margin is not None
    ]
    upper = np.ones(size)
    upper[margin] = longest
    aims = [np.zeros(size) for _ in range(3)]
    aims[0][opens:margin] = 1.0
    aims[1][:n] = [step.stop < m for step in each]
    aims[2][margin] = -1.0
    reached: list[float] = []
    for aim in aims:
        answer = milp(
            aim,
            integrality=np.append(np.ones(size - 1), 0),
            bounds=Bounds(np.zeros(size), upper),
            constraints=_constraint(rows, size),
            options={"mip_rel_gap": 0.0},
        )
        assert answer.success, answer.message
        value = float(answer.fun)
        reached.append(value)
        best = round(value)
        rows.append(({int(place): float(aim[place]) for place in np.flatnonzero(aim)}, -np.inf, best + 1e-6))
    counted = [step for step, used in zip(each, answer.x[:n], strict=True) if used > 0.5 and step.margin is not None]
    return round(reached[0]), round(reached[1]), -reached[2] if counted else np.inf


Row = tuple[dict[int, float], float, float]


def _flows(each: Sequence[Step], watches: int, m: int) -> list[Row]:
    """Each watch leaves now once, and leaves each round as often as it comes to it."""
    rows: list[Row] = []
    for who in range(watches):
        own = [(place, step) for place, step in enumerate(each) if step.watch == who]
        rows.append(({place: 1.0 for place, step in own if step.start < 0}, 1.0, 1.0))
        for node in range(m):
            flow = {place: 1.0 if step.stop == node else -1.0 for place, step in own if node in {step.start, step.stop}}
            if flow:
                rows.append((flow, 0.0, 0.0))
    return rows


def _openings(each: Sequence[Step], opens: int) -> list[Row]:
    """A round that a watch comes to is open: one row a watch and round."""
    coming: dict[tuple[int, int], dict[int, float]] = {}
    for place, step in enumerate(each):
        coming.setdefault((step.watch, step.stop), {})[place] = 1.0
    m = max((step.stop for step in each), default=0)
    return [(row | {opens + stop: -1.0}, -np.inf, 0.0) for (_, stop), row in coming.items() if stop < m]


def _constraint(rows: Sequence[Row], size: int) -> LinearConstraint:
    places = [(number, place, factor) for number, (row, _, _) in enumerate(rows) for place, factor in row.items()]
    at, of, factors = zip(*places, strict=True)
    matrix = coo_array((factors, (at, of)), shape=(len(rows), size)).tocsr()
    return LinearConstraint(matrix, [low for _, low, _ in rows], [high for _, _, high in rows])
