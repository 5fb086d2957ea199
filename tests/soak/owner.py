"""The owner of a simulated watch is asked of runs held back, and answers by what is true, or never."""

from dataclasses import replace
from statistics import median

from tests.soak.life import Life
from tracker.core.heldback import Foresight, Held, held_back
from tracker.core.rundown import History, run_downs
from tracker.core.timeline import Entry, Sighting, Wind
from tracker.core.watch import Watch

WATCH = Watch(uid="one", nickname="One")
LONG, LATELY = 1.05, 60
"""Of runs not so many times as long as the middle one of those before nobody is asked: to spare work."""


def read(life: Life) -> History:
    """What the notes of a life tell."""
    return run_downs(WATCH, life.entries)


def answered(life: Life, foresight: Foresight) -> History:
    """The history where every question was answered truly, once the run had ended: a winding is noted late, or denied."""
    history, at = read(life), 0
    while at < len(history.runs):
        held = _asked(history, at, foresight) if _is_long(history, at) else None
        if held is None:
            at += 1
        else:
            life.entries = _noted(life, held)
            history = read(life)
    return history


def _is_long(history: History, at: int) -> bool:
    lows = [
        run.evidence.spans_h[0][0] if run.evidence.spans_h else 0.0 for run in history.runs[max(0, at - LATELY) : at]
    ]
    spans = history.runs[at].evidence.spans_h
    return bool(lows and spans) and spans[0][0] > LONG * median(lows)


def _asked(history: History, at: int, foresight: Foresight) -> Held | None:
    """The question of this run, as it was asked when it ended."""
    held = held_back(replace(history, runs=history.runs[: at + 1], current=None), foresight)
    return held if held and held.run_uid == history.runs[at].wind_uid else None


def _noted(life: Life, held: Held) -> list[Entry]:
    """The notes with the answer among them."""
    noted = {note.uid: note for note in life.entries}
    wound, late = noted[held.run_uid].at, noted[held.entry_uid].at
    for forgotten in life.unnoted:
        if wound < forgotten.at <= late and forgotten.uid not in noted:
            return [*life.entries, forgotten]
    return [_denied(note) if note.uid == held.entry_uid else note for note in life.entries]


def _denied(note: Entry) -> Entry:
    return replace(note, nothing_between=True) if isinstance(note, Wind | Sighting) else note
