"""What was done to a spring since it was last full or unwound: the acts that tell how far it is wound now."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import pairwise
from typing import Literal

from tracker.core.crownturns import Turns, share_of
from tracker.core.logwalk import Walk
from tracker.core.scale import Scale
from tracker.core.timeline import Entry, OnWinder, Seen, Service, Sighting, Unheard, Wear, Wind

Kind = Literal["full", "turns", "some", "stopped", "going", "shows", "on wrist", "on winder", "at rest"]

PLACING: tuple[Kind, ...] = ("on wrist", "on winder", "at rest", "stopped")
"""Acts after which it is known whether anything winds it by moving."""

LOOKED_BACK = timedelta(days=21)
"""What was done before tells hardly anything of how far it is wound now."""


@dataclass(frozen=True, slots=True)
class Act:
    """One act, its true moment within so many minutes of `at`.

    `low` and `high` are what it told: of *turns* the share that they wind, of *shows* the share read and its standard
    deviation, of *on winder* the turns a day (None: not known). *some*: wound by nobody knows how much; *at rest*:
    laid down, or taken off the winder.
    """

    at: datetime
    within_min: float
    kind: Kind
    low: float | None = None
    high: float | None = None


def acts(notes: Sequence[Entry], walked: Walk, full: Turns | None, scale: Scale | None) -> tuple[Act, ...]:
    """The acts since the open run's spring was last known to be full or unwound; none without an open run."""
    if walked.run is None:
        return ()
    filled = {run.start_again for run in walked.begun if run.amount == "full"}
    first = next((index for index in reversed(range(len(notes))) if index in filled or _stood(notes[index])), 0)
    served = walked.services[-1] if walked.services else None
    done: list[Act] = []
    unheard = False
    place = _place(notes[:first]) if walked.by_rotor else None
    for index in range(first, len(notes)):
        note = notes[index]
        unheard = isinstance(note, Unheard) or (unheard and not isinstance(note, Wind))
        if served is not None and note.at < served:
            continue
        done += _of(note, full, scale, filled=index in filled, by_rotor=walked.by_rotor, unheard=unheard)
        if place is not None and index == first and not _stood(note) and not isinstance(note, Wear | OnWinder):
            done.append(replace(place, at=note.at, within_min=0.0))
    return tuple(_of_late(_thinned(done)))


def _of_late(done: Sequence[Act]) -> Iterator[Act]:
    """Those not too long before the last; where it was moved then, it is moved still."""
    since = done[-1].at - LOOKED_BACK if done else None
    before = [act for act in done if since is not None and act.at < since]
    moved = next((act for act in reversed(before) if act.kind in PLACING), None)
    if moved is not None and since is not None:
        yield replace(moved, at=since, within_min=0.0)
    yield from done[len(before) :]


def _place(notes: Sequence[Entry]) -> Act | None:
    """Where it was after these notes, if that moves it."""
    for note in reversed(notes):
        if isinstance(note, Service) or (isinstance(note, Sighting) and note.seen.startswith("stopped")):
            return None
        if isinstance(note, Wear) and note.act == "put on":
            return _act(note, "on wrist")
        if isinstance(note, OnWinder) and note.act == "on":
            return _act(note, "on winder", note.turns_a_day)
        if isinstance(note, Wear | OnWinder):
            return None
    return None


def _stood(note: Entry) -> bool:
    return isinstance(note, Sighting) and note.seen == "stopped"


def _of(
    note: Entry, full: Turns | None, scale: Scale | None, *, filled: bool, by_rotor: bool, unheard: bool
) -> Iterator[Act]:
    """What one note tells; `unheard`: its sensor may have missed a winding before, so that what it hears tells nothing."""
    match note:
        case Wind():
            if note.found != "not noticed":
                yield _act(note, note.found)
            yield _act(note, "full") if filled else _part(note, full)
        case Sighting():
            told = _SEEN.get(note.seen)
            if told is not None and not (told == "going" and note.by_sensor and unheard):
                yield _act(note, told)
            if note.indicator_reading is not None and note.seen != "stopped" and scale is not None:
                yield _act(note, "shows", scale.share(note.indicator_reading), scale.sd)
        case Wear() if not by_rotor:
            yield _act(note, "going")
        case Wear():
            yield _act(note, "on wrist" if note.act == "put on" else "at rest")
            if filled:
                yield _act(note, "full")
        case OnWinder() if by_rotor:
            yield _act(note, "on winder", note.turns_a_day) if note.act == "on" else _act(note, "at rest")


_SEEN: dict[Seen, Kind] = {"going": "going", "stopped": "stopped", "stopped on purpose": "some"}


def _part(wind: Wind, full: Turns | None) -> Act:
    if wind.amount == "part" and wind.crown_turns is not None and full is not None:
        return _act(wind, "turns", *share_of(wind.crown_turns, full))
    return _act(wind, "some")


def _act(note: Entry, kind: Kind, low: float | None = None, high: float | None = None) -> Act:
    return Act(note.at, note.within_min, kind, low, high)


def _thinned(done: Sequence[Act]) -> list[Act]:
    """Of sightings that follow each other the last says all."""
    first = [act for act, then in pairwise(done) if not act.kind == then.kind == "going"]
    return [*first, *done[-1:]]
