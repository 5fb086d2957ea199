"""A rest sensor's seat, handed from one watch to another: what is told of the one is never carried on to the other."""

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sensors import rest
from sensors.rest import BEGIN, Course, Found
from sensors.sensor import Assignment


@dataclass(frozen=True, slots=True)
class Seat:
    """A rest sensor's state machine that begins anew at each of the moments in `handed_over_s`, which are in order."""

    setup: rest.Setup
    handed_over_s: tuple[float, ...]

    @property
    def begin(self) -> Course:
        """Before the first reading."""
        return BEGIN

    def advance(self, course: Course, at_s: float, values: Sequence[float]) -> tuple[Course, list[Found]]:
        """As `rest.advance`; a span that a handing over cuts short ends as unknown."""
        if course.heard_s is None or self._place(course.heard_s) == self._place(at_s):
            return rest.advance(self.setup, course, at_s, values)
        ended = rest.tail(self.setup, course, float("inf"))
        course, found = rest.advance(self.setup, BEGIN, at_s, values)
        return course, [ended, *found] if ended else found

    def _place(self, at_s: float) -> int:
        return bisect_right(self.handed_over_s, at_s)


def handed_over(assignments: Iterable[Assignment]) -> tuple[float, ...]:
    """The moments at which another watch, or none, began to lie on a sensor, in order."""
    moments: set[float] = set()
    for each in assignments:
        moments.update(moment_s for moment_s in (each.from_s, each.to_s) if moment_s is not None)
    return tuple(sorted(moments))
