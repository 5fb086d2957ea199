"""The log of one watch as values: what was noted, when, and how sure its time is."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Literal

from tracker.core.when import NOW_WITHIN_MIN

Amount = Literal["full", "part", "unsure"]
Found = Literal["going", "stopped", "not noticed"]
Hands = Literal["set now", "left", "not set", "unknown"]
Seen = Literal["going", "stopped", "stopped on purpose", "not noticed"]
WearAct = Literal["put on", "laid down"]
WinderAct = Literal["on", "off"]

FlawWord = Literal["already wound", "hands fit no moment", "date fits no moment", "hands read differently"]
Flaw = tuple[str, FlawWord]
"""The uid of a note and what is wrong with it."""

ONE_ACT = timedelta(minutes=15)
"""Notes this close are one act: full winds that follow each other so are one winding; a watch put on or laid down says
nothing of its own when a winding or a stop follows at once (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """What a stopped watch showed, as seen: never the moments derived from it.

    `minutes` counts from twelve (or from 24 h on such a dial) to the time on the hands; `date` is the day of the month
    in the window, if read.
    """

    minutes: int
    date: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One row of the log. `at` is aware and in UTC; the truth lies within `within_min` minutes of it, either side."""

    uid: str
    at: datetime
    zone: str
    within_min: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Wind(Entry):
    """A winding, the state the watch was found in, and what was done to the hands.

    `shown` is what the hands showed before they were touched, if the watch had stopped; `date_set` whether the date
    was set along with the hands; `nothing_between` that the owner says it was not wound since it was last noted wound;
    `side_spring_used` that the chronograph ran or the alarm rang since then.
    """

    amount: Amount = "full"
    crown_turns: float | None = None
    found: Found = "not noticed"
    hands: Hands = "unknown"
    date_set: bool = False
    shown: Shown | None = None
    nothing_between: bool = False
    side_spring_used: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Sighting(Entry):
    """A look at the watch: its state, the hands of a stopped one, a reading of the reserve indicator.

    `nothing_between` and `side_spring_used` as of a winding; `by_sensor`: a rest sensor told it, nobody looked.
    """

    seen: Seen
    shown: Shown | None = None
    indicator_reading: float | None = None
    nothing_between: bool = False
    side_spring_used: bool = False
    by_sensor: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Unheard(Entry):
    """From here on until it was heard again its rest sensor tells nothing: was it wound? What people note is as ever."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Silent(Entry):
    """It fell silent on its rest sensor: lifted or stopped, which is not settled."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wear(Entry):
    """The watch put on or laid down."""

    act: WearAct


@dataclass(frozen=True, slots=True, kw_only=True)
class OnWinder(Entry):
    """The watch put on a winder or taken off it; `turns_a_day` in the directions that wind it, None if not known."""

    act: WinderAct
    turns_a_day: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Service(Entry):
    """The watch came back from service: a new segment begins."""


def in_order(entries: Iterable[Entry]) -> list[Entry]:
    """Sort by the noted time, whatever the order of entry.

    At the same moment a service comes first, then wear and the winder, then a stop, then the winding that answered it, then
    what was seen going, then what a sensor leaves open; the uid settles what is still equal. So a watch put on and found standing in
    one minute stands. A service
    known by its day alone comes before what was noted on that day. A winding said late that did not see it going comes
    after the stop seen next, if it can have; if the two lie within one act, its time is taken as wide as that asks.
    """
    return _answered(sorted(entries, key=lambda entry: (_placed(entry), _rank(entry), entry.uid)))


def _answered(notes: list[Entry]) -> list[Entry]:
    """Put a winding said late behind the stop that it answered: no watch stops within hours of a full wind."""
    for index in range(len(notes) - 2, -1, -1):
        wind, stop = notes[index], notes[index + 1]
        late = isinstance(wind, Wind) and wind.found != "going" and wind.within_min > NOW_WITHIN_MIN
        if late and isinstance(stop, Sighting) and stop.seen == "stopped":
            after_min = (stop.at - wind.at) / timedelta(minutes=1) - stop.within_min
            if after_min <= max(wind.within_min, ONE_ACT / timedelta(minutes=1)):
                notes[index] = stop
                notes[index + 1] = replace(wind, within_min=max(wind.within_min, after_min))
    return notes


def _placed(entry: Entry) -> datetime:
    return entry.at - timedelta(minutes=entry.within_min) if isinstance(entry, Service) else entry.at


_RANK: dict[type[Entry], int] = {Service: 0, Wear: 1, OnWinder: 1, Wind: 3, Sighting: 4, Unheard: 5, Silent: 5}


def _rank(entry: Entry) -> int:
    stopped = isinstance(entry, Sighting) and entry.seen in {"stopped", "stopped on purpose"}
    return 2 if stopped else _RANK[type(entry)]
