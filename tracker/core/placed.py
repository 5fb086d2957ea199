"""When was what people noted of a watch, if a sensor heard it going meanwhile? And which notes does that contradict?

People note an act up to `ONE_ACT` after it, and often loosely; a sensor tells to the minute. So a note that says *it had
stopped* belongs outside the times in which the watch was heard going, and a winding noted at once to the moment at which it
was put back.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from tracker.core.heard import Answered, Question, Spell
from tracker.core.near import Ends, Near
from tracker.core.timeline import ONE_ACT, Entry, Sighting, Wind
from tracker.core.when import NOW_WITHIN_MIN

_MINUTE = timedelta(minutes=1)


@dataclass(frozen=True, slots=True)
class Placed:
    """A note and the stretch of time in which what it tells was."""

    note: Entry
    low: datetime
    high: datetime

    @property
    def ends(self) -> Ends:
        """That stretch."""
        return self.low, self.high


@dataclass(frozen=True, slots=True)
class Agreed:
    """Notes and spells that do not contradict each other, and what is asked of those that did."""

    placed: list[Placed]
    spells: list[Spell]
    questions: list[Question]


def agreed(notes: Sequence[Entry], spells: Sequence[Spell], answers: Sequence[Answered]) -> Agreed:
    """Bring the notes of a log and the spells of its sensors together.

    A note that says *it had stopped* in the midst of a spell contradicts it. The owner says which is right; until then the
    log counts and the spell does not, for a shorter run makes the wind-by earlier.
    """
    heard = Near(spells, _ends)
    against = [(note, spell) for note in notes for spell in _contradicted(note, heard)]
    words = {note.uid: _answer(note, spell, answers) for note, spell in against}
    wrong = {spell for note, spell in against if words[note.uid] != "the sensor"}
    kept = Near([spell for spell in spells if spell not in wrong], _ends)
    return Agreed(
        [_placed(_was_going(note) if words.get(note.uid) == "the sensor" else note, kept) for note in notes],
        [spell for spell in spells if spell not in wrong],
        [_which(note, spell) for note, spell in against if words[note.uid] is None],
    )


def _which(note: Entry, spell: Spell) -> Question:
    return Question(
        asking="log or sensor",
        sensor_uid=spell.sensor_uid,
        since=spell.start,
        until=spell.end,
        entry_uid=note.uid,
    )


def pieces(spell: Spell, placed: Near[Placed]) -> list[Ends]:
    """What is left of a spell where it is sure on which side of each note it lies."""
    left = [(spell.start, spell.end)]
    for each in placed.touching(spell.start, spell.end):
        if not only_looked(each.note):
            left = [part for piece in left for part in without(piece, each.ends)]
    return left


def without(piece: Ends, taken: Ends) -> list[Ends]:
    """A stretch less another one."""
    (start, end), (low, high) = piece, taken
    if high < start or low > end:
        return [piece]
    before = [(start, low)] if start < low else []
    return before + ([(high, end)] if high < end else [])


def says_stopped(note: Entry) -> bool:
    """Whether the note says that the watch had stopped by itself."""
    return (isinstance(note, Wind) and note.found == "stopped") or (
        isinstance(note, Sighting) and note.seen == "stopped"
    )


def only_looked(note: Entry) -> bool:
    """Whether the note tells of no handling and no stop."""
    return isinstance(note, Sighting) and note.seen in {"going", "not noticed"}


def _ends(spell: Spell) -> Ends:
    return spell.start, spell.end


def _contradicted(note: Entry, spells: Near[Spell]) -> list[Spell]:
    """The spell in whose midst the note says that the watch had stopped, if any."""
    if not says_stopped(note):
        return []
    low, high = _span(note)
    near = spells.touching(low - ONE_ACT, high)
    return near[:1] if _free(low - ONE_ACT, high, near) is None else []


def _placed(note: Entry, spells: Near[Spell]) -> Placed:
    low, high = _span(note)
    if only_looked(note):
        return Placed(note, low, high)
    near = spells.touching(low - ONE_ACT, high)
    noted_at_once = isinstance(note, Wind) and note.within_min <= NOW_WITHIN_MIN
    put_back = noted_at_once and any(low - ONE_ACT < spell.start <= high for spell in near)
    free = _free(low - ONE_ACT, high, near) if put_back else None
    if free is None and says_stopped(note):
        free = _free(low, high, near) or _free(low - ONE_ACT, high, near)
    if free is None:
        return Placed(note, low - ONE_ACT, high)
    return Placed(note if free == (low, high) else _timed(note, *free), *free)


def _timed(note: Entry, low: datetime, high: datetime) -> Entry:
    return replace(note, at=low + (high - low) / 2, within_min=(high - low) / 2 / _MINUTE)


def _span(note: Entry) -> Ends:
    width = note.within_min * _MINUTE
    return note.at - width, note.at + width


def _free(low: datetime, high: datetime, spells: Iterable[Spell]) -> Ends | None:
    """The stretch from the first to the last moment within these at which it was not heard going."""
    first, last = low, high
    for spell in spells:
        if spell.start < low < spell.end:
            first = spell.end
        if spell.start < high < spell.end:
            last = spell.start
    return (first, last) if first <= last else None


def _answer(note: Entry, spell: Spell, answers: Iterable[Answered]) -> str | None:
    words = [each.word for each in answers if each.entry_uid == note.uid and each.sensor_uid == spell.sensor_uid]
    return words[-1] if words else None


def _was_going(note: Entry) -> Entry:
    """The note as it should have been if the sensor is right."""
    if isinstance(note, Wind):
        return replace(note, found="going", hands="unknown" if note.hands == "not set" else note.hands, shown=None)
    return replace(note, seen="not noticed", shown=None) if isinstance(note, Sighting) else note
