"""When can each noted thing have happened? Its own width, tightened by the order of the notes and by stopped hands."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from typing import Literal

from tracker.core.hands import Setting, Span, agree, moments
from tracker.core.logwalk import Ended
from tracker.core.timeline import Entry, Shown, Sighting, Wind

FlawWord = Literal["hands fit no moment", "date fits no moment", "hands read differently"]
Flaw = tuple[str, FlawWord]


@dataclass(frozen=True, slots=True)
class Bounds:
    """Earliest and latest possible moment of each note, by its index.

    `stops` has the moments left by the hands, by the index of the note that ended the run; `flaws` pairs the uid of a
    note with what is wrong with it.
    """

    low: Sequence[datetime]
    high: Sequence[datetime]
    stops: Mapping[int, Sequence[Span]]
    flaws: Sequence[Flaw]


@dataclass(frozen=True, slots=True)
class _Told:
    """A stop that hands tell: it lies after the note `going` and before the note that ended the run."""

    going: int
    hands: Setting
    readings: Sequence[Shown]
    dial_hours: int

    def spans(self, low: datetime, high: datetime) -> list[Span]:
        return moments(self.hands, self.readings, self.dial_hours, low, high)

    def undated(self) -> "_Told":
        return replace(self, hands=replace(self.hands, dated=None))


def bounds(entries: Sequence[Entry], runs: Sequence[Ended], dial_hours: int) -> Bounds:
    """Tightest bounds of all notes at once: things happened in the order in which they are noted.

    The earliest moments follow from a walk forward, the latest from one backward; a stop told by hands takes part in
    both. Hands that fit no moment of their run are a flaw and take no part, nor does a date that fits none.
    """
    flaws: list[Flaw] = []
    told = _told(entries, runs, dial_hours, flaws)
    low = _forward(entries, told, _backward(entries, {}, []), flaws)
    high = _backward(entries, told, low)
    stops = {end: stop.spans(low[stop.going], high[end]) for end, stop in told.items()}
    return Bounds(low, high, stops, flaws)


def _told(entries: Sequence[Entry], runs: Sequence[Ended], dial_hours: int, flaws: list[Flaw]) -> dict[int, _Told]:
    told = {}
    for ended in runs:
        run = ended.run
        if run.hands is not None and run.readings:
            readings = _readings(entries, run.readings, dial_hours, flaws)
            told[ended.end] = _Told(run.last_going, run.hands, readings, dial_hours)
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
            spans = _fitting(entry, index, told, (low[told[index].going], high[index]), flaws)
            earliest = max(earliest, spans[0][0]) if spans else earliest
        low.append(earliest)
    return low


def _fitting(entry: Entry, index: int, told: dict[int, _Told], bracket: Span, flaws: list[Flaw]) -> list[Span]:
    """The moments of this stop; a date that fits none of them is a flaw and taken out, then the hands with it."""
    spans = told[index].spans(*bracket)
    if not spans and told[index].hands.dated is not None:
        told[index] = told[index].undated()
        spans = told[index].spans(*bracket)
        if spans:
            flaws.append((entry.uid, "date fits no moment"))
    if not spans:
        del told[index]
        flaws.append((entry.uid, "hands fit no moment"))
    return spans


def _backward(entries: Sequence[Entry], told: Mapping[int, _Told], low: Sequence[datetime]) -> list[datetime]:
    high = [entry.at + timedelta(minutes=entry.within_min) for entry in entries]
    latest = datetime.max.replace(tzinfo=UTC)
    for index in reversed(range(len(entries))):
        latest = high[index] = min(latest, high[index])
        if index in told:
            going = told[index].going
            high[going] = min(high[going], told[index].spans(low[going], latest)[-1][1])
    return high
