"""A log and what rest sensors heard, brought together: the notes that both make, and what is asked of the owner.

A sensor may leave us ignorant; it may never make us wrong. A stop that it tells counts only after the 1 % point of the run,
by what the runs before foretell, and only if nothing speaks for lifting; else it is *lifted or stopped?* and tells nothing
until that is settled. Where the watch was lifted or not heard and nobody noted why, it may have been wound: the run counts
up to there alone.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise

from tracker.core.handling import Sign, sign
from tracker.core.heard import Answered, Halt, Heard, Question, Spell
from tracker.core.near import Ends, Near
from tracker.core.placed import Placed, agreed, only_looked, pieces, says_stopped, without
from tracker.core.rundown import run_downs
from tracker.core.timeline import ONE_ACT, Entry, OnWinder, Sighting, Silent, Unheard, Wear, in_order
from tracker.core.toosoon import Earliest, late_enough
from tracker.core.watch import Watch

BY_CHANCE = timedelta(minutes=15)
"""So short a silence of the sensor holds the winding of a watch that is wound daily once in a hundred times, by chance, even
if none were noted: not enough to doubt the run. Being lifted is no chance, however short."""

_FOR_EVER = datetime.max.replace(tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Sensed:
    """The notes of a log with those that its sensors make, in order, and what is asked, oldest first."""

    notes: tuple[Entry, ...]
    questions: tuple[Question, ...] = ()


def sensed(watch: Watch, entries: Iterable[Entry], heard: Heard, earliest: Earliest) -> Sensed:
    """Bring the log of this watch and what was heard of it together."""
    log = in_order(entries)
    there = _while_there(heard, log)
    told = agreed(log, there, heard.answers)
    placed = Near(told.placed, lambda each: each.ends)
    halts = _halts(heard.halts, told.spells)
    signs = {_uid(halt): sign(halt, placed, again, heard.answers) for halt, again in halts}
    breaks = list(_breaks(told.spells, {halt for halt, _ in halts}, placed, heard.answers))
    stopped_at = {halt.after for halt, _ in halts if signs[_uid(halt)] == "stopped"}
    notes = [
        *(each.note for each in told.placed),
        *(look for spell in told.spells for look in _looks(spell, placed)),
        *(_unheard(each) for each in breaks if each.since not in stopped_at),
    ]
    signs = _judged(watch, notes, [halt for halt, _ in halts], signs, earliest)
    asked = [_lifted_or_stopped(halt) for halt, _ in halts if signs[_uid(halt)] == "asked"]
    return Sensed(
        notes=tuple(in_order([*notes, *(note for halt, _ in halts for note in _told(halt, signs[_uid(halt)]))])),
        questions=tuple(sorted([*told.questions, *breaks, *asked], key=lambda question: question.since)),
    )


def _while_there(heard: Heard, log: Sequence[Entry]) -> list[Spell]:
    """The spells, less the times in which it was worn or on a winder: what its sensor hears then is another watch."""
    away = Near(_away(log, heard.laid), lambda ends: ends)
    found = []
    for spell in heard.spells:
        left = [(spell.start, spell.end)]
        for ends in away.touching(spell.start, spell.end):
            left = [part for piece in left for part in without(piece, ends)]
        found += [replace(spell, start=start, end=end) for start, end in left]
    return found


def _away(log: Sequence[Entry], laid: Sequence[datetime]) -> Iterator[Ends]:
    """From when it was put on, or on a winder, until it was laid down, taken off or stood, which may be noted later."""
    put_on: Entry | None = None
    for note in [*log, None]:
        if note is not None and not (isinstance(note, Wear | OnWinder) or says_stopped(note)):
            continue
        if put_on is not None:
            width = timedelta(minutes=put_on.within_min)
            back = [at for at in laid if at > put_on.at + width][:1]
            back += [] if note is None else [note.at - timedelta(minutes=note.within_min) - ONE_ACT]
            yield put_on.at - width, max(put_on.at - width, min(back, default=_FOR_EVER))
        put_on = note if isinstance(note, Wear | OnWinder) and note.act in {"put on", "on"} else None


def _halts(halts: Iterable[Halt], spells: Sequence[Spell]) -> list[tuple[Halt, datetime | None]]:
    """The stops told at the end of a spell that counts, each with when it was heard going next."""
    ends = {(spell.sensor_uid, spell.end): index for index, spell in enumerate(spells)}
    starts = [*(spell.start for spell in spells[1:]), None]
    return [(halt, starts[ends[place]]) for halt in halts if (place := (halt.sensor_uid, halt.after)) in ends]


def _looks(spell: Spell, placed: Near[Placed]) -> list[Sighting]:
    moments = sorted({at for piece in pieces(spell, placed) for at in piece})
    return [
        Sighting(uid=f"{spell.sensor_uid}@{at:%Y%m%dT%H%M%S.%f}", at=at, zone="UTC", seen="going", by_sensor=True)
        for at in moments
    ]


def _uid(halt: Halt) -> str:
    return f"{halt.sensor_uid}@{halt.before:%Y%m%dT%H%M%S.%f}!"


def _told(halt: Halt, verdict: Sign | None) -> list[Entry]:
    """What is known of a stop that a sensor told."""
    if verdict == "asked":
        return [Silent(uid=_uid(halt), at=halt.after, zone="UTC")]
    return [] if verdict == "lifted" else [_stop(halt)]


def _stop(halt: Halt) -> Sighting:
    return Sighting(uid=_uid(halt), at=halt.before, zone="UTC", seen="stopped", by_sensor=True)


def _lifted_or_stopped(halt: Halt) -> Question:
    return Question(asking="lifted or stopped", sensor_uid=halt.sensor_uid, since=halt.after, until=halt.before)


def _breaks(
    spells: Sequence[Spell], halts: Iterable[Halt], placed: Near[Placed], answers: Sequence[Answered]
) -> Iterator[Question]:
    """The times between two spells of which nobody noted anything: it may have been wound."""
    lifted = {(halt.sensor_uid, halt.after) for halt in halts}
    for before, after in pairwise(spells):
        was_lifted = (before.sensor_uid, before.end) in lifted
        if not was_lifted and after.start - before.end <= BY_CHANCE:
            continue
        if _accounted(before.end, after.start, placed):
            continue
        if not any(each.word == "not wound" and _points_at(each, before, after) for each in answers):
            yield Question(
                asking="wound" if was_lifted else "not heard",
                sensor_uid=before.sensor_uid,
                since=before.end,
                until=after.start,
            )


def _accounted(since: datetime, until: datetime, placed: Near[Placed]) -> bool:
    return any(not only_looked(each.note) for each in placed.touching(since, until))


def _points_at(answer: Answered, before: Spell, after: Spell) -> bool:
    return answer.sensor_uid == before.sensor_uid and before.end - ONE_ACT <= answer.at <= after.start


def _unheard(question: Question) -> Unheard:
    return Unheard(uid=f"{question.sensor_uid}@{question.since:%Y%m%dT%H%M%S.%f}?", at=question.since, zone="UTC")


def _judged(
    watch: Watch,
    notes: Sequence[Entry],
    halts: Sequence[Halt],
    signs: Mapping[str, Sign | None],
    earliest: Earliest,
) -> dict[str, Sign | None]:
    """The signs, and *asked* of the stops for which nothing speaks and that came too soon, or in no run that is known."""
    doubted = {uid for uid, sign in signs.items() if sign is None}
    if not doubted:
        return dict(signs)
    believed = [_stop(halt) for halt in halts if signs[_uid(halt)] in {None, "stopped"}]
    late = late_enough(run_downs(watch, [*notes, *believed]).runs, doubted, earliest)
    return {uid: "asked" if uid in doubted - late else sign for uid, sign in signs.items()}
