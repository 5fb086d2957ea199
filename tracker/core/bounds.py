"""When can each noted thing have happened? Its own width, tightened by the order of the notes and by stopped hands."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from itertools import accumulate
from typing import NamedTuple

from tracker.core.hands import Setting, Span, agree, elapsed, moments
from tracker.core.logwalk import Ended
from tracker.core.timeline import Entry, Flaw, Shown, Sighting, Wind


class Way(NamedTuple):
    """One of the ways in which hands can have come to a stop: when it was.

    If they ran on from a standstill, also when they started from it (the note `start`) and how long they ran.
    """

    stopped: Span
    start: int | None = None
    started: Span | None = None
    ran: tuple[timedelta, timedelta] = (timedelta(0), timedelta.max)


@dataclass(frozen=True, slots=True)
class Bounds:
    """Earliest and latest possible moment of each note, by its index.

    `stops` has the ways left by the hands, by the index of the note that ended the run.
    """

    low: Sequence[datetime]
    high: Sequence[datetime]
    stops: Mapping[int, Sequence[Way]]
    flaws: Sequence[Flaw]


@dataclass(frozen=True, slots=True)
class _Told:
    """A stop that hands tell: it lies after the note `going` and before the note `end`.

    `start` is the note at which the hands ran on from a standstill, None if they were set.
    """

    start: int | None
    going: int
    end: int
    hands: Setting
    readings: Sequence[Shown]
    dial_hours: int

    def ways(self, low: Sequence[datetime], high: Sequence[datetime]) -> Iterator[Way]:
        """Every way that these bounds leave, in order; none is cut short that some moments within them allow."""
        early, late = low[self.going], high[self.end]
        if self.start is None:
            yield from map(Way, moments(self.hands, self.readings, self.dial_hours, early, late))
            return
        first, last = low[self.start], high[self.start]
        ran = elapsed(self.hands, self.readings, self.dial_hours, max(early - last, timedelta(0)), late - first)
        for least, most in ran:
            yield Way(
                stopped=(max(early, first + least), min(late, last + most)),
                start=self.start,
                started=(max(first, early - most), min(last, late - least)),
                ran=(least, most),
            )

    def undated(self) -> "_Told":
        return replace(self, hands=replace(self.hands, dated=None))


def bounds(entries: Sequence[Entry], runs: Sequence[Ended], dial_hours: int) -> Bounds:
    """Tightest bounds of all notes at once: things happened in the order in which they are noted.

    The earliest moments follow from a walk forward, the latest from one backward; a stop told by hands takes part in
    both. Hands that fit no moment of their run are a flaw and take no part, nor does a date that fits none.
    """
    flaws: list[Flaw] = []
    told = _told(entries, runs, dial_hours, flaws)
    width = {each: timedelta(minutes=each) for each in {entry.within_min for entry in entries}}
    earliest = [entry.at - width[entry.within_min] for entry in entries]
    latest = [entry.at + width[entry.within_min] for entry in entries]
    low = _forward(entries, told, (earliest, [*accumulate(latest[::-1], min)][::-1]), flaws)
    high, ways = _backward(latest, told, low)
    for end, stop in told.items():
        if stop.start is not None:
            # Its start may have been pushed back by what came before.
            ways[end] = [*stop.ways(low, high)]
    return Bounds(low, high, ways, flaws)


def _told(entries: Sequence[Entry], runs: Sequence[Ended], dial_hours: int, flaws: list[Flaw]) -> dict[int, _Told]:
    told = {}
    for ended in runs:
        run = ended.run
        if run.hands is not None and run.readings:
            start = None if run.hands.loose is None else run.hands_from
            readings = _readings(entries, run.readings, dial_hours, flaws)
            told[ended.end] = _Told(start, run.last_going, ended.end, run.hands, readings, dial_hours)
    return told


def _readings(entries: Sequence[Entry], indexes: Sequence[int], dial_hours: int, flaws: list[Flaw]) -> list[Shown]:
    """The readings that agree with those before; hands that were moved since tell nothing of the stop."""
    readings: list[Shown] = []
    for index in indexes:
        entry = entries[index]
        if isinstance(entry, Wind | Sighting) and entry.shown is not None:
            if all(agree(reading, entry.shown, dial_hours) for reading in readings):
                readings.append(entry.shown)
            else:
                flaws.append((entry.uid, "hands read differently"))
    return readings


def _forward(
    entries: Sequence[Entry],
    told: dict[int, _Told],
    bounded: tuple[Sequence[datetime], Sequence[datetime]],
    flaws: list[Flaw],
) -> list[datetime]:
    """Earliest moments, from those that each note allows and from the latest."""
    low: list[datetime] = []
    alone, high = bounded
    earliest = datetime.min.replace(tzinfo=UTC)
    for index, moment in enumerate(alone):
        earliest = max(earliest, moment)
        if index in told:
            way = _fitting(entries[index], index, told, (low, high), flaws)
            earliest = earliest if way is None else max(earliest, way.stopped[0])
        low.append(earliest)
    return low


def _fitting(
    entry: Entry,
    index: int,
    told: dict[int, _Told],
    bounded: tuple[Sequence[datetime], Sequence[datetime]],
    flaws: list[Flaw],
) -> Way | None:
    """The first way to this stop; a date that fits none is a flaw and taken out, then the hands with it."""
    way = next(told[index].ways(*bounded), None)
    if way is None and told[index].hands.dated is not None:
        told[index] = told[index].undated()
        way = next(told[index].ways(*bounded), None)
        if way is not None:
            flaws.append((entry.uid, "date fits no moment"))
    if way is None:
        del told[index]
        flaws.append((entry.uid, "hands fit no moment"))
    return way


def _backward(
    alone: Sequence[datetime], told: Mapping[int, _Told], low: Sequence[datetime]
) -> tuple[list[datetime], dict[int, list[Way]]]:
    """Latest moments, from those that each note allows, and the ways that these left to each stop when it was come to."""
    high = [*alone]
    latest, ways = datetime.max.replace(tzinfo=UTC), {}
    for index in reversed(range(len(high))):
        latest = high[index] = min(latest, high[index])
        if index in told:
            ways[index] = _pushed(told[index], low, high)
    return high, ways


def _pushed(stop: _Told, low: Sequence[datetime], high: list[datetime]) -> list[Way]:
    """Push back the latest moments of the notes before a stop that hands tell; gives the ways to it."""
    if stop.start is not None:
        high[stop.start] = min(high[stop.start : stop.end + 1])
    ways = [*stop.ways(low, high)]
    high[stop.going] = min(high[stop.going], ways[-1].stopped[1])
    first = ways[0]
    if first.start is not None and first.started is not None:
        high[first.start] = min(high[first.start], first.started[1])
    return ways
