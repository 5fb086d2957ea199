"""From the log of one watch to its run-downs: what each tells of the hours from full wind to stop, censoring kept."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal, NamedTuple

from tracker.core import evidence
from tracker.core.acts import Act, acts
from tracker.core.bounds import Bounds, Way, bounds
from tracker.core.crownturns import Turns, turns_to_full
from tracker.core.evidence import Evidence
from tracker.core.hands import Setting, joined
from tracker.core.logwalk import Ended, EndedBy, Run, StartedBy, State, Walk, walk
from tracker.core.scale import Scale, scale_of
from tracker.core.timeline import Amount, Entry, Flaw, Sighting, Wear, Wind, in_order
from tracker.core.watch import Watch
from tracker.core.wearfills import Worn

LEAST_READ = 0.4
"""A run of which less is gone by its indicator tells nothing by it of the whole."""
SD_EITHER_WAY = 2.0
"""A share read is taken to be so many standard deviations off at most."""

WORN_KEPT = 12
"""So many runs after wear from a standstill tell what wear does for a watch of late."""

Reason = Literal["not seen going", "not heard on", "part wind", "unsure wind", "worn", "side spring", "at once"]


@dataclass(frozen=True, slots=True)
class Look:
    """A note by which the run had lasted at least so many hours."""

    uid: str
    hours: float


class RunDown(NamedTuple):
    """One ended run. `wind_uid` is its identity: the uid of the winding it began with.

    `evidence` is on the hours from full wind to stop; where it is none, `reason` says why the run is left out.
    `service_at` is the last service before the winding (its age counts from there), `ended_at` the noted time of the
    note that ended it and `end_uid` its uid, `looks` the notes that it was going, `uids` the notes that were used;
    `nothing_between`: the owner says it was not wound meanwhile; `after_rest`: the first run after a long rest;
    `side_spring_used`: the chronograph ran or the alarm rang, which shortens it, so that only its lower end counts.
    `heard_until`: of a run whose stop a sensor told, when it was heard last; `heard_on` is false if its sensor told nothing for
    a while: it may have been wound, so that what the sensor told later does not count.
    """

    wind_uid: str
    started_at: datetime
    started_within_min: float
    started_by: StartedBy
    amount: Amount
    service_at: datetime | None
    ended_at: datetime
    ended_by: EndedBy
    evidence: Evidence
    reason: Reason | None
    uids: tuple[str, ...]
    end_uid: str
    looks: tuple[Look, ...]
    nothing_between: bool
    after_rest: bool
    side_spring_used: bool = False
    heard_until: datetime | None = None
    heard_on: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class CurrentRun:
    """The run that has not ended as far as is known; it conditions an answer and is no evidence yet.

    It began between `started_from` and `started_to`; `seen_going_h` is the least number of hours it is known to have
    been going, 0 if not seen since; `looks`, `nothing_between` and `after_rest` as of a RunDown; `hands` is
    what they were set to, None if that is not known. `acts` tell how far it is wound if that is more or less than a full
    wind at its start; `turns_to_full` what a full one takes, where that is known. `heard_on` as of a RunDown.
    """

    wind_uid: str
    started_at: datetime
    started_within_min: float
    started_from: datetime
    started_to: datetime
    started_by: StartedBy
    amount: Amount
    counts_as_full: bool
    service_at: datetime | None
    seen_going_h: float
    last_seen_at: datetime | None
    looks: tuple[Look, ...]
    nothing_between: bool
    after_rest: bool
    side_spring_used: bool = False
    hands: Setting | None = None
    heard_on: bool = True
    acts: tuple[Act, ...] = ()
    turns_to_full: Turns | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LastKnown:
    """What the watch was last known to be, and the note that told it: of a stop the first, of going the newest.

    `by_sensor`: it was a sensor that told it; `heard_run`: of a stop that it told, the run that ended so: the uid of its
    winding, and when that was.
    """

    state: State = "unknown"
    since: datetime | None = None
    uid: str | None = None
    by_sensor: bool = False
    heard_run: tuple[str, datetime] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """All that the log of one watch says: ended runs in order, the present one, services, and notes that cannot be.

    `worn` is what it ran on after wear from a standstill, the newest last.
    """

    runs: tuple[RunDown, ...] = ()
    current: CurrentRun | None = None
    last: LastKnown = LastKnown()
    services: tuple[datetime, ...] = ()
    flaws: tuple[Flaw, ...] = ()
    on_wrist: bool = False
    on_winder: bool = False
    worn: tuple[Worn, ...] = ()


def run_downs(watch: Watch, entries: Iterable[Entry]) -> History:
    """Read the notes of this watch, in any order, voided ones left out, as its history.

    Evidence is the tightest that the notes imply if each true moment lies within `within_min` of the noted one and
    things happened in the order of `in_order`. Going without a winding after a stop leaves no present run.
    """
    notes = in_order(entries)
    walked = walk(notes, by_rotor=watch.by_rotor, dial_hours=watch.dial_hours)
    when = bounds(notes, walked.ended, watch.dial_hours)
    scale = scale_of(watch, notes)
    worn = (found for ended in walked.ended if (found := _worn_from_stop(notes, ended, when)) is not None)
    return History(
        runs=tuple(_run_down(notes, ended, when, scale) for ended in walked.ended),
        current=_current(watch, notes, walked, when, scale),
        last=_last(notes, walked),
        services=tuple(walked.services),
        flaws=(*walked.flaws, *when.flaws),
        on_wrist=walked.on_wrist,
        on_winder=walked.on_winder,
        worn=tuple(worn)[-WORN_KEPT:],
    )


def _last(notes: Sequence[Entry], walked: Walk) -> LastKnown:
    if walked.told_by is None:
        return LastKnown()
    note, heard_run = notes[walked.told_by], None
    ended = walked.ended[-1] if walked.ended else None
    if ended is not None and ended.end == walked.told_by and ended.ended_by == "stop heard":
        wind = notes[ended.run.start]
        heard_run = wind.uid, wind.at
    by_sensor = isinstance(note, Sighting) and note.by_sensor
    return LastKnown(state=walked.state, since=note.at, uid=note.uid, by_sensor=by_sensor, heard_run=heard_run)


def _current(
    watch: Watch, notes: Sequence[Entry], walked: Walk, when: Bounds, scale: Scale | None
) -> CurrentRun | None:
    run = walked.run
    if run is None:
        return None
    wind, looks = notes[run.start], _looks(notes, run, when)
    full = turns_to_full((each for each in notes if isinstance(each, Wind)), watch.crown_turns_to_full)
    return CurrentRun(
        wind_uid=wind.uid,
        started_at=wind.at,
        started_within_min=wind.within_min,
        started_from=when.low[run.start],
        started_to=when.high[run.start_again],
        started_by=run.by,
        amount=run.amount,
        counts_as_full=run.amount == "full" and not run.worn,
        service_at=run.service_at,
        seen_going_h=_going_h(looks),
        last_seen_at=notes[run.going].at if run.going is not None else None,
        looks=looks,
        nothing_between=run.nothing_between,
        after_rest=run.after_rest,
        side_spring_used=run.side_spring_used,
        hands=run.hands,
        heard_on=not run.unheard,
        acts=_acts(notes, walked, full, scale),
        turns_to_full=full,
    )


def _acts(notes: Sequence[Entry], walked: Walk, full: Turns | None, scale: Scale | None) -> tuple[Act, ...]:
    """What tells how far it is wound; of a full wind, only if its indicator was read since."""
    run = walked.run
    done = acts(notes, walked, full, scale)
    plain = run is not None and run.amount == "full" and not run.worn and all(act.kind != "shows" for act in done)
    return () if plain else done


def _worn_from_stop(notes: Sequence[Entry], ended: Ended, when: Bounds) -> Worn | None:
    """What it ran on after wear alone, if it stood when it was put on."""
    run = ended.run
    if run.by != "wear" or run.worn or run.unheard:
        return None
    back = run.start - 1
    while back > 0 and isinstance(note := notes[back], Sighting) and note.seen == "going":
        back -= 1
    put_on, before = notes[max(back, 0)], notes[max(back - 1, 0)]
    stood = isinstance(before, Sighting) and before.seen == "stopped"
    worn_h = _hours(put_on.at, notes[run.start].at)
    if not (stood and isinstance(put_on, Wear) and put_on.act == "put on" and worn_h > 0.0):
        return None
    if ended.ended_by not in {"found stopped", "stop heard"}:
        again_h = _hours(when.high[run.start], when.low[ended.end]) if ended.ended_by == "worn" else 0.0
        return Worn(worn_h, _going_h(_looks(notes, run, when)), None, again_h)
    spans = _stopped(ended, when).spans_h
    return Worn(worn_h, spans[0][0], spans[-1][1])


def _run_down(notes: Sequence[Entry], ended: Ended, when: Bounds, scale: Scale | None) -> RunDown:
    run, wind, end = ended.run, notes[ended.run.start], notes[ended.end]
    looks = _looks(notes, run, when)
    told, reason = _evidence(ended, when, _going_h(looks))
    if told.kind == "at_least" and run.amount == "full" and scale is not None and scale.fixed:
        told = _as_read(notes, ended, when, scale, _going_h(looks)) or told
    used = dict.fromkeys((run.start, run.start_again, run.last_going, ended.end, *run.readings))  # in order
    return RunDown(
        wind_uid=wind.uid,
        started_at=wind.at,
        started_within_min=wind.within_min,
        started_by=run.by,
        amount=run.amount,
        service_at=run.service_at,
        ended_at=end.at,
        ended_by=ended.ended_by,
        evidence=told,
        reason=reason,
        uids=tuple([notes[index].uid for index in used]),
        end_uid=end.uid,
        looks=looks,
        nothing_between=run.nothing_between,
        after_rest=run.after_rest,
        side_spring_used=run.side_spring_used,
        heard_until=notes[run.last_going].at if ended.ended_by == "stop heard" and not run.unheard else None,
        heard_on=not run.unheard,
    )


def _looks(notes: Sequence[Entry], run: Run, when: Bounds) -> tuple[Look, ...]:
    start = when.high[run.start_again]
    return tuple([Look(notes[index].uid, _hours(start, when.low[index])) for index in run.looks])


def _evidence(ended: Ended, when: Bounds, going_h: float) -> tuple[Evidence, Reason | None]:
    run = ended.run
    if run.worn:
        return evidence.NONE, "worn"
    if run.amount == "part":
        return evidence.NONE, "part wind"
    if run.at_once:
        return evidence.NONE, "at once"
    if ended.ended_by == "stop heard" and run.unheard:
        told = _held(going_h)
        return told, None if told.spans_h else "not heard on"
    stopped = ended.ended_by in {"found stopped", "stop heard"}
    told = _stopped(ended, when) if stopped else _held(going_h)
    if told.ended and (run.amount == "unsure" or run.side_spring_used):
        told = _held(told.spans_h[0][0])
        why: Reason = "unsure wind" if run.amount == "unsure" else "side spring"
        return told, None if told.spans_h else why
    return told, None if told.spans_h else "not seen going"


def _as_read(notes: Sequence[Entry], ended: Ended, when: Bounds, scale: Scale, going_h: float) -> Evidence | None:
    """What its indicator told of a run that was not seen to its end: so much was gone after so many hours."""
    run = ended.run
    for index in reversed(range(run.start_again + 1, ended.end + 1)):
        note = notes[index]
        if not isinstance(note, Sighting) or note.indicator_reading is None:
            continue
        gone = 1.0 - scale.share(note.indicator_reading)
        if gone < LEAST_READ:
            return None
        low, high = _hours(when.high[run.start_again], when.low[index]), _hours(when.low[run.start], when.high[index])
        off = SD_EITHER_WAY * scale.sd
        low_h = max(low / min(1.0, gone + off), going_h)
        return evidence.between(low_h, max(low_h, high / (gone - off)))
    return None


def _held(hours: float) -> Evidence:
    return evidence.at_least(hours) if hours > 0 else evidence.NONE


def _going_h(looks: Sequence[Look]) -> float:
    return looks[-1].hours if looks else 0.0


def _stopped(ended: Ended, when: Bounds) -> Evidence:
    """Between the last time it was going and the first it had stopped, or what the ways between that hands allow leave.

    Those are cut to that bracket first and only then widened by the width of the winding; hands that ran on from a
    standstill have counted the hours themselves.
    """
    run = ended.run
    from_hands = when.stops.get(ended.end)
    bracket = Way((when.low[run.last_going], when.high[ended.end]))
    spans = [_lasted(run, way, when) for way in from_hands or [bracket]]
    if len(spans) == 1 and spans[0][0] == spans[0][1]:
        return evidence.exact(spans[0][0])
    if from_hands:
        return Evidence("one_of", tuple(joined(spans)))
    low_h, high_h = spans[0]
    return evidence.between(low_h, high_h) if low_h > 0 else evidence.at_most(high_h)


def _lasted(run: Run, way: Way, when: Bounds) -> tuple[float, float]:
    """The hours from the winding to a stop that came this way."""
    low, high = way.stopped
    low_h, high_h = _hours(when.high[run.start_again], low), (high - when.low[run.start]) / HOUR
    if way.start is None:
        return low_h, high_h
    least, most = way.ran
    return max(low_h, least / HOUR) if way.start == run.start_again else low_h, min(high_h, most / HOUR)


def _hours(start: datetime, end: datetime) -> float:
    """Hours between two moments, none if they may have come in either order."""
    return max(0.0, (end - start) / HOUR)


HOUR = timedelta(hours=1)
