"""When can each noted thing have happened? Its own width, tightened by the order of the notes and by stopped hands."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

from tracker.core.hands import Setting, Span, agree, elapsed, moments
from tracker.core.logwalk import Ended
from tracker.core.timeline import Entry, Flaw, Shown, Sighting, Wind


@dataclass(frozen=True, slots=True)
class Way:
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

    def ways(self, low: Sequence[datetime], high: Sequence[datetime]) -> list[Way]:
        """Every way that these bounds leave; none is cut short that some moments within them allow."""
        early, late = low[self.going], high[self.end]
        if self.start is None:
            return [Way(span) for span in moments(self.hands, self.readings, self.dial_hours, early, late)]
        first, last = low[self.start], high[self.start]
        ran = elapsed(self.hands, self.readings, self.dial_hours, max(early - last, timedelta(0)), late - first)
        return [
            Way(
                stopped=(max(early, first + least), min(late, last + most)),
                start=self.start,
                started=(max(first, early - most), min(last, late - least)),
                ran=(least, most),
            )
            for least, most in ran
        ]

    def undated(self) -> "_Told":
        return replace(self, hands=replace(self.hands, dated=None))


def bounds(entries: Sequence[Entry], runs: Sequence[Ended], dial_hours: int) -> Bounds:
    """Tightest bounds of all notes at once: things happened in the order in which they are noted.

    The earliest moments follow from a walk forward, the latest from one backward; a stop told by hands takes part in
    both. Hands that fit no moment of their run are a flaw and take no part, nor does a date that fits none.
    """
    flaws: list[Flaw] = []
    told = _told(entries, runs, dial_hours, flaws)
    low = _forward(entries, told, _backward(entries, {}, [])[0], flaws)
    high, ways = _backward(entries, told, low)
    for end, stop in told.items():
        if stop.start is not None:
            # Its start may have been pushed back by what came before.
            ways[end] = stop.ways(low, high)
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
    entries: Sequence[Entry], told: dict[int, _Told], high: Sequence[datetime], flaws: list[Flaw]
) -> list[datetime]:
    low: list[datetime] = []
    earliest = datetime.min.replace(tzinfo=UTC)
    for index, entry in enumerate(entries):
        earliest = max(earliest, entry.at - timedelta(minutes=entry.within_min))
        if index in told:
            ways = _fitting(entry, index, told, (low, high), flaws)
            earliest = max(earliest, min((way.stopped[0] for way in ways), default=earliest))
        low.append(earliest)
    return low


def _fitting(
    entry: Entry,
    index: int,
    told: dict[int, _Told],
    bounded: tuple[Sequence[datetime], Sequence[datetime]],
    flaws: list[Flaw],
) -> list[Way]:
    """The ways to this stop; a date that fits none of them is a flaw and taken out, then the hands with it."""
    ways = told[index].ways(*bounded)
    if not ways and told[index].hands.dated is not None:
        told[index] = told[index].undated()
        ways = told[index].ways(*bounded)
        if ways:
            flaws.append((entry.uid, "date fits no moment"))
    if not ways:
        del told[index]
        flaws.append((entry.uid, "hands fit no moment"))
    return ways


def _backward(
    entries: Sequence[Entry], told: Mapping[int, _Told], low: Sequence[datetime]
) -> tuple[list[datetime], dict[int, list[Way]]]:
    """Latest moments, and the ways that these left to each stop when it was come to."""
    high = [entry.at + timedelta(minutes=entry.within_min) for entry in entries]
    latest, ways = datetime.max.replace(tzinfo=UTC), {}
    for index in reversed(range(len(entries))):
        latest = high[index] = min(latest, high[index])
        if index in told:
            ways[index] = _pushed(told[index], low, high)
    return high, ways


def _pushed(stop: _Told, low: Sequence[datetime], high: list[datetime]) -> list[Way]:
    """Push back the latest moments of the notes before a stop that hands tell; gives the ways to it."""
    if stop.start is not None:
        high[stop.start] = min(high[stop.start : stop.end + 1])
    ways = stop.ways(low, high)
    high[stop.going] = min(high[stop.going], max(way.stopped[1] for way in ways))
    for way in ways[:1]:
        if way.start is not None:
            latest = max(each.started[1] for each in ways if each.started is not None)
            high[way.start] = min(high[way.start], latest)
    return ways
