"""What is planned, in whole microseconds: rounds, deadlines, and how far a winding carries."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Micros = NDArray[np.int64]
Indexes = NDArray[np.int64]
Flags = NDArray[np.bool_]

MICROSECOND = timedelta(microseconds=1)
FREE = -1
"""Stands for the round of a first winding that is nobody's choice."""
FAR = np.iinfo(np.int64).max // 4
"""Farther than any moment; sums of two still fit."""
CANNOT_SHARE = 1 / 3
"""A watch that more than this share of the gaps between rounds outlasts can't be kept by these rounds."""


@dataclass(frozen=True, slots=True)
class Kept:
    """A watch to be kept going: wound by `wind_by`, and each winding lasts it `lasts_h` hours, at the risk accepted.

    Its first winding is in the round `pinned`, where that is one of the rounds, be it in time or not.
    """

    name: str
    wind_by: datetime
    lasts_h: float
    pinned: datetime | None = None


@dataclass(frozen=True, slots=True)
class Problem:
    """Times count from now.

    `rounds` (m) ascend, without doubles, up to `end`; `first` (w) is each watch's deadline, `lasts` (w) how far a winding
    carries it, the slack taken off both; `pinned` (w) the index of the round of its first winding, FREE where any will do.
    """

    rounds: Micros
    end: int
    first: Micros
    lasts: Micros
    pinned: Indexes

    @property
    def deadlines(self) -> Micros:
        """By when each watch must be wound again after a winding in each round (w × m)."""
        return self.lasts[:, None] + self.rounds[None, :]

    @property
    def asked(self) -> Flags:
        """Which watches must be wound before the end (w)."""
        return (self.first < self.end) | self.is_pinned

    @property
    def is_pinned(self) -> Flags:
        """Which watches have a given round for their first winding (w)."""
        pinned: Flags = self.pinned != FREE
        return pinned

    def waits(self, margin: int) -> Flags:
        """Which watches may stay unwound up to each round, and be wound there so many microseconds in time (w × m)."""
        in_time = self.first[:, None] - margin >= self.rounds[None, :]
        not_before = np.arange(len(self.rounds))[None, :] <= self.pinned[:, None]
        return np.where(self.is_pinned[:, None], not_before, in_time)

    @property
    def excused(self) -> Flags:
        """After which rounds no other comes before the deadline of a watch wound there (w × m); the last has none after."""
        following = np.append(self.rounds[1:], FAR)
        deadlines = self.deadlines
        return (deadlines < self.end) & (deadlines < following[None, :])


def problem(
    watches: Sequence[Kept], rounds: Iterable[datetime], now: datetime, end: datetime, slack: timedelta
) -> tuple[list[datetime], Problem]:
    """The rounds from now to the end, and all in numbers."""
    within = sorted({moment for moment in rounds if now <= moment <= end})
    places = {moment: place for place, moment in enumerate(within)}
    return within, Problem(
        rounds=np.array([micros(moment - now) for moment in within], dtype=np.int64),
        end=micros(end - now),
        first=np.array([micros(watch.wind_by - slack - now) for watch in watches], dtype=np.int64),
        lasts=np.array([lasting(watch) - micros(slack) for watch in watches], dtype=np.int64),
        pinned=np.array(
            [places.get(watch.pinned, FREE) if watch.pinned else FREE for watch in watches], dtype=np.int64
        ),
    )


def lasting(watch: Kept) -> int:
    """How long a winding lasts, in microseconds."""
    return min(round(watch.lasts_h * 3_600_000_000), FAR)


def micros(length: timedelta) -> int:
    """A length in whole microseconds."""
    return length // MICROSECOND


def out_of_reach(watch: Kept, rounds: Sequence[datetime]) -> bool:
    """Whether more than a third of the gaps between rounds last longer than the watch."""
    gaps = [micros(after - before) for before, after in pairwise(rounds)]
    return sum(gap > lasting(watch) for gap in gaps) > CANNOT_SHARE * len(gaps)
