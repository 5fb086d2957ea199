"""Plans by trying everything: every set of open rounds, and in it every set of windings of each watch."""

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from itertools import combinations
from typing import NamedTuple

from tracker.core.rounds.problem import Kept

FOREVER = timedelta(days=1_000_000)
"""The margin of windings that have no deadline to keep."""


class Best(NamedTuple):
    """The three aims reached; `least_margin` None where no winding has a deadline."""

    rounds: int
    windings: int
    least_margin: timedelta | None


class Alone(NamedTuple):
    """What is best for one watch in given open rounds: windings, least margin, and the earliest rounds of such."""

    windings: int
    least_margin: timedelta
    wound: tuple[datetime, ...]


def margin_of(
    watch: Kept, wound: Sequence[datetime], rounds: Sequence[datetime], end: datetime, slack: timedelta
) -> timedelta | None:
    """The least margin of these windings (FOREVER where all are excused), None if they are against the rules."""
    least, deadline, before = FOREVER, watch.wind_by - slack, None
    pinned = watch.pinned if watch.pinned in rounds else None
    if pinned is not None and (not wound or wound[0] != pinned):
        return None
    lasts = timedelta(hours=watch.lasts_h) - slack
    for at in wound:
        later = [moment for moment in rounds if before is None or moment > before]
        if at == pinned and before is None:
            pass
        elif at <= deadline:
            least = min(least, deadline - at)
        elif any(moment <= deadline for moment in later) or at != later[0]:
            return None
        deadline, before = at + lasts, at
    later = [moment for moment in rounds if before is None or moment > before]
    return least if deadline >= end or not later else None


def alone(
    watch: Kept, opened: Sequence[datetime], rounds: Sequence[datetime], end: datetime, slack: timedelta
) -> Alone | None:
    """What is best for this watch in these rounds; None if there is no way."""
    for count in range(len(opened) + 1):
        ways = [
            Alone(count, margin, wound)
            for wound in combinations(opened, count)
            if (margin := margin_of(watch, wound, rounds, end, slack)) is not None
        ]
        if ways:
            return min(ways, key=lambda way: (-way.least_margin, way.wound))
    return None


def best(
    watches: Sequence[Kept],
    rounds: Sequence[datetime],
    end: datetime,
    slack: timedelta,
    always: Iterable[datetime] = (),
) -> Best:
    """The three aims, one after the other, over every set of open rounds; windings in given rounds have no say in the last."""
    for size in range(len(rounds) + 1):
        found: list[tuple[int, timedelta]] = []
        for opened in combinations(rounds, size):
            if not {*always} <= {*opened}:
                continue
            ways = [alone(watch, opened, rounds, end, slack) for watch in watches]
            if None not in ways:
                each = [way for way in ways if way is not None]
                least = min((way.least_margin for way in each), default=FOREVER)
                found.append((sum(way.windings for way in each), -least))
        if found:
            windings, least = min(found)
            return Best(size, windings, None if -least == FOREVER else -least)
    raise AssertionError("to open every round is always a way")
