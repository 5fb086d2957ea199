"""Following a sensor live: readings in any order, late or twice, and no rescan of what is older than a day."""

import math
from array import array
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from typing import Generic, NamedTuple, Protocol, TypeVar

from sensors.stamp import BEHIND_S

Course = TypeVar("Course")
Found = TypeVar("Found")

MARK_EVERY = 64
"""Stamps between two marks: a late reading costs at most these and those that came after it."""


class Setup(Protocol[Course, Found]):
    """A sensor's state machine as it is set up: of a rest sensor or of a winder channel."""

    @property
    def begin(self) -> Course:
        """Before the first reading."""

    def advance(self, course: Course, at_s: float, values: Sequence[float]) -> tuple[Course, list[Found]]:
        """Take the different values of one stamp, later than any before; return what is now known and what is over."""


class Mark(NamedTuple, Generic[Course]):
    """The course after all readings up to a stamp: what a follower can begin from again."""

    upto_s: float
    course: Course


class Follower(Generic[Course, Found]):
    """What one sensor tells as readings come: the same set of readings gives the same, whatever the order.

    Readings later than 24 h behind the newest are refused; what they could have changed is settled and handed out once.
    To go on after a restart, keep `mark` when `settled` hands out, and give the readings after it again.
    """

    def __init__(self, setup: Setup[Course, Found], mark: Mark[Course] | None = None) -> None:
        self._setup = setup
        mark = mark or Mark(-math.inf, setup.begin)
        self._marks = [mark]
        self._tip = mark
        self._since_mark = 0
        self._stamps, self._values = array("d"), array("d")
        self._found: list[tuple[float, Found]] = []
        self._settled: list[Found] = []

    @property
    def mark(self) -> Mark[Course]:
        """Up to here all is settled."""
        return self._marks[0]

    @property
    def course(self) -> Course:
        """What is known now."""
        return self._tip.course

    @property
    def recent(self) -> list[Found]:
        """What came to an end after `mark`; a late reading may still change it."""
        return [found for _, found in self._found]

    def settled(self) -> list[Found]:
        """What has been settled since this was asked last; it never changes again."""
        handed, self._settled = self._settled, []
        return handed

    def add(self, readings: Iterable[tuple[float, float]]) -> list[tuple[float, float]]:
        """Take readings (stamp in seconds since 1970, value); return those that came too late, which change nothing."""
        late = [reading for reading in readings if not self._taken(*reading)]
        self._catch_up()
        self._settle()
        return late

    def _taken(self, at_s: float, value: float) -> bool:
        if at_s <= self.mark.upto_s or (self._stamps and at_s < self._stamps[-1] - BEHIND_S):
            return False
        place = bisect_left(self._stamps, at_s)
        while place < len(self._stamps) and self._stamps[place] == at_s and self._values[place] < value:
            place += 1
        if (self._stamps[place : place + 1], self._values[place : place + 1]) != (
            array("d", [at_s]),
            array("d", [value]),
        ):
            self._stamps.insert(place, at_s)
            self._values.insert(place, value)
            self._go_back(at_s)
        return True

    def _go_back(self, at_s: float) -> None:
        """Forget what was derived from this stamp on."""
        if at_s > self._tip.upto_s:
            return
        while self._marks[-1].upto_s >= at_s:
            self._marks.pop()
        self._tip, self._since_mark = self._marks[-1], 0
        while self._found and self._found[-1][0] > self._tip.upto_s:
            self._found.pop()

    def _catch_up(self) -> None:
        place = bisect_right(self._stamps, self._tip.upto_s)
        while place < len(self._stamps):
            at_s = self._stamps[place]
            after = bisect_right(self._stamps, at_s, place)
            course, ended = self._setup.advance(self._tip.course, at_s, self._values[place:after])
            self._found += [(at_s, found) for found in ended]
            self._tip = Mark(at_s, course)
            self._since_mark += 1
            if self._since_mark == MARK_EVERY:
                self._marks.append(self._tip)
                self._since_mark = 0
            place = after

    def _settle(self) -> None:
        """Hand over what no reading can change any more: all up to the last mark older than 24 h behind the newest."""
        if not self._stamps:
            return
        horizon_s = self._stamps[-1] - BEHIND_S
        while len(self._marks) > 1 and self._marks[1].upto_s < horizon_s:
            del self._marks[0]
        gone = bisect_right(self._stamps, self.mark.upto_s)
        del self._stamps[:gone], self._values[:gone]
        done = bisect_right(self._found, self.mark.upto_s, key=lambda each: each[0])
        self._settled += self.recent[:done]
        del self._found[:done]
