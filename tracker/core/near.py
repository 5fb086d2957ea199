"""Stretches of time in order, of which those near a moment are found without looking at all of them."""

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterable, Iterator
from datetime import datetime, timedelta
from typing import Generic, TypeVar

T = TypeVar("T")
Ends = tuple[datetime, datetime]


class Near(Generic[T]):
    """Things with a first and a last moment (`ends`); they may overlap."""

    def __init__(self, things: Iterable[T], ends: Callable[[T], Ends]) -> None:
        self._ends = ends
        self._things = sorted(things, key=ends)
        self._lows = [ends(thing)[0] for thing in self._things]
        self._longest = max((ends(thing)[1] - ends(thing)[0] for thing in self._things), default=timedelta(0))

    def touching(self, low: datetime, high: datetime) -> list[T]:
        """Those that lie at least in part within these moments, in order of their first moment."""
        first, last = bisect_left(self._lows, _less(low, self._longest)), bisect_right(self._lows, high)
        return [thing for thing in self._things[first:last] if self._ends(thing)[1] >= low]

    def since(self, moment: datetime) -> Iterator[T]:
        """Those that end at this moment or later, in order of their first moment."""
        for thing in self._things[bisect_left(self._lows, _less(moment, self._longest)) :]:
            if self._ends(thing)[1] >= moment:
                yield thing


def _less(moment: datetime, length: timedelta) -> datetime:
    """So much earlier, or as early as there are moments."""
    first = datetime.min.replace(tzinfo=moment.tzinfo)
    return moment - length if moment - first > length else first
