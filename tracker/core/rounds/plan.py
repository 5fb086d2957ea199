"""The plan: in which rounds each watch is wound, who is late, and whom these rounds cannot keep."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from tracker.core.rounds.bridges import bridged, network
from tracker.core.rounds.problem import FAR, MICROSECOND, Flags, Kept, Micros, Problem, out_of_reach, problem
from tracker.core.rounds.search import Way, fewest_windings
from tracker.core.rounds.sequences import Sequences, sequences


@dataclass(frozen=True, slots=True)
class Round:
    """One open round and the names of the watches wound in it."""

    at: datetime
    wind: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Late:
    """A watch whose deadline no round meets: missed then, wound in the next round or not before the end."""

    name: str
    missed: datetime
    until: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """`least_margin` is None where no winding has a deadline to keep; there may be `windings_within` fewer windings."""

    rounds: tuple[Round, ...]
    windings: int
    least_margin: timedelta | None
    late: tuple[Late, ...] = ()
    cannot: tuple[str, ...] = ()
    windings_within: int = 0


def plan(
    watches: Sequence[Kept],
    rounds: Iterable[datetime],
    now: datetime,
    end: datetime,
    slack: timedelta = timedelta(0),
    *,
    always: Collection[datetime] = (),
) -> Plan:
    """First the fewest rounds, then the fewest windings, then the largest least margin, then each watch alone.

    A winding comes no later than its deadline less the slack. Where no round lies between a winding (or now) and the
    deadline, the watch is excused: wound in the very next round and listed as late. Rounds of `always` are open anyway.
    A watch pinned to a round is wound there first; if that is past its deadline, it is listed as late.
    """
    within, given = problem(watches, rounds, now, end, slack)
    unkept = [out_of_reach(watch, within) for watch in watches]
    kept = [watch for watch, out in zip(watches, unkept, strict=True) if not out]
    cannot = tuple(watch.name for watch, out in zip(watches, unkept, strict=True) if out)
    given = _only(given, ~np.array(unkept, dtype=bool))
    opened_anyway = np.array([moment in always for moment in within], dtype=bool)
    opened_anyway[given.pinned[given.is_pinned]] = True
    way = _widest(given, opened_anyway)
    found = sequences(given, way.open)
    margin = int(min(found.least_margin.min(initial=FAR), _of_pinned(given).min(initial=FAR)))
    opened = tuple(
        Round(within[place], tuple(kept[who].name for who in np.flatnonzero(found.wound[:, column])))
        for column, place in enumerate(way.open)
    )
    return Plan(
        rounds=opened,
        windings=way.windings,
        least_margin=None if margin == FAR else margin * MICROSECOND,
        late=_late(given, way, found, kept, within=within, now=now, end=end),
        cannot=cannot,
        windings_within=way.within,
    )


def _only(given: Problem, these: Flags) -> Problem:
    return Problem(given.rounds, given.end, given.first[these], given.lasts[these], given.pinned[these])


def _of_pinned(given: Problem) -> Micros:
    """The margins of first windings in given rounds, as far as they have a deadline and keep it."""
    those = given.is_pinned & (given.first < given.end)
    margins = given.first[those] - given.rounds[given.pinned[those]]
    kept: Micros = margins[margins >= 0]
    return kept


def _widest(given: Problem, always: Flags) -> Way:
    """A way with the fewest rounds and windings, and with the largest least margin of these."""
    net = network(bridged(given, 0), always)
    assert net is not None  # noqa: S101 -- to open every round is a way: whatever it does not bridge is excused
    best = fewest_windings(given, net, 0)
    assert best is not None  # noqa: S101 -- nothing bounds the windings
    least = int(sequences(given, best.open).least_margin.min(initial=FAR))
    while least < FAR:
        shorter = network(bridged(given, least + 1), always)
        if shorter is None or shorter.fewest > net.fewest:
            break
        way = fewest_windings(given, shorter, least + 1, best.windings)
        if way is None:
            break
        # The cap on labels may have let it find a better one than before.
        best = way._replace(within=max(0, best.within - (best.windings - way.windings)))
        least = int(sequences(given, best.open).least_margin.min(initial=FAR))
    return best


def _late(
    given: Problem,
    way: Way,
    found: Sequences,
    kept: Sequence[Kept],
    *,
    within: Sequence[datetime],
    now: datetime,
    end: datetime,
) -> tuple[Late, ...]:
    late: list[Late] = []
    deadlines = given.deadlines
    for who, watch in enumerate(kept):
        wound = [-1, *(way.open[column] for column in np.flatnonzero(found.wound[who]))]
        for place in wound:
            deadline = int(given.first[who] if place < 0 else deadlines[who, place])
            following = max(place + 1, int(given.pinned[who])) if place < 0 else place + 1
            until = within[following] if following < len(within) else end
            missed = now + deadline * MICROSECOND
            if missed < min(until, end):
                late.append(Late(watch.name, missed, until))
    return tuple(sorted(late, key=lambda each: (each.missed, each.name)))
