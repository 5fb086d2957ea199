"""Which reminders there should be: a pure function of the watches, the reminders there are, and now."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from tracker.reminders.reminder import LAST_CALL, LOOK, Facts, Reminder
from tracker.uids import uid_of

SAID_AGAIN_FROM = timedelta(hours=1)
"""A wind-by that moves by less than this after it was told is not told anew."""

AFTER_DIGEST = timedelta(hours=1)
"""So long after the digest of a round a watch that it names is not called for again."""

WORTH_SAYING = timedelta(hours=24)
"""How long past its wind-by a last call is still sent and shown, as "may have stopped". Later it lapses: the watch has
stopped, and the page says so. It lapses by what the clock says, not by a mark: a clock set wrong loses nothing."""


@dataclass(frozen=True, slots=True)
class KeptWatch:
    """What a watch asks of the reminders.

    `wind_uid` names the winding it runs on (empty: none known) and `started_at` when that was, both given also where
    no wind-by is wanted: what was told of an earlier winding is then closed as wound. `wind_by` is None where nothing
    is to be reminded of: no habit of keeping it going, put away, stopped, or not known. With `wind_by_to_come` it is
    still being worked out: what was planned of the present run stays. Where a look is offered at `look_at`, it takes the
    last call's place: the watch is not to be wound before. A sensor that heard it stop, at `stopped_at`, calls for a look,
    too, told from `tell_from` on; `wind_uid` then names the run that ended so. `urgent`: a stop costs much (a calendar).
    `last_round` is the owner's last round between the winding and the wind-by, `in_digest` whether its digest names the
    watch if it is not wound until then.
    """

    watch_uid: str
    nickname: str
    wind_uid: str
    started_at: datetime | None
    wind_by: datetime | None
    wind_by_to_come: bool = False
    look_at: datetime | None = None
    stopped_at: datetime | None = None
    tell_from: datetime | None = None
    urgent: bool = False
    last_round: datetime | None = None
    in_digest: bool = False


Hush = Callable[[datetime, datetime, bool], datetime]
"""When to tell what is due at a moment, of a run that began at another, urgent or not: quiet hours move it."""


def at_once(due: datetime, _began: datetime, _urgent: bool) -> datetime:  # noqa: FBT001 -- one of three facts
    """Where no hours are quiet."""
    return due


def plan(
    watches: Sequence[KeptWatch], known: Sequence[Reminder], notice_h: float, now: datetime, hush: Hush = at_once
) -> list[Reminder]:
    """The reminders to be written, as they should read: those that are new, and those that change.

    Args:
        watches: every watch a change touched; those left out are not planned.
        known: of these watches, the reminders that are open and all those of the winding it runs on.
        notice_h: how long before the wind-by the owner wants to hear of it, hours.
        now: this moment.
        hush: keeps a last call out of quiet hours.
    """
    changes: list[Reminder] = []
    for watch in sorted(watches, key=lambda watch: watch.watch_uid):
        own = [reminder for reminder in known if reminder.subject_uid == watch.watch_uid]
        changes += [_ended(reminder, watch) for reminder in own if reminder.episode != watch.wind_uid and reminder.open]
        if not watch.wind_by_to_come:
            for asked in _asked(watch, notice_h):
                last = max((r for r in own if _is_of(r, watch, asked)), key=lambda r: r.ordinal, default=None)
                changes += [r for r in _of_this_run(watch, asked, last, now, hush) if r != last]
    return changes


@dataclass(frozen=True, slots=True)
class _Asked:
    """What one kind of reminder is to call for: by when, and how long before that it is told.

    Of a stop that was heard, when it is told.
    """

    kind: str
    by: datetime | None
    notice_h: float
    heard_at: datetime | None = None


def _asked(watch: KeptWatch, notice_h: float) -> tuple[_Asked, _Asked]:
    last_call = watch.wind_by if watch.look_at is None else None
    look = _Asked(LOOK, watch.look_at, 0.0)
    if watch.stopped_at is not None:
        look = _Asked(LOOK, watch.stopped_at, 0.0, heard_at=watch.tell_from or watch.stopped_at)
    return _Asked(LAST_CALL, last_call, notice_h), look


def _is_of(reminder: Reminder, watch: KeptWatch, asked: _Asked) -> bool:
    return reminder.kind == asked.kind and reminder.episode == watch.wind_uid


def _ended(reminder: Reminder, watch: KeptWatch) -> Reminder:
    """No longer true: withdrawn where nobody was told yet, else closed."""
    if reminder.state == "planned":
        return replace(reminder, state="withdrawn")
    wound = watch.started_at is not None and watch.started_at > reminder.facts.started_at
    return replace(reminder, state="closed", closed_by="wound" if wound else "lapsed")


def _of_this_run(watch: KeptWatch, asked: _Asked, last: Reminder | None, now: datetime, hush: Hush) -> list[Reminder]:
    """What the newest reminder of this kind and of the present run becomes, and one after it where one is wanted."""
    if asked.by is None or watch.started_at is None:
        return [_ended(last, watch)] if last is not None and last.open else []
    # Rows keep whole seconds; a plan finer than its rows would differ from them for ever.
    facts = Facts(watch.nickname, asked.by.replace(microsecond=0), watch.started_at.replace(microsecond=0))
    due = max(facts.wind_by - timedelta(hours=asked.notice_h), facts.started_at, asked.heard_at or facts.started_at)
    if asked.kind == LAST_CALL:
        due = hush(max(_called_at(watch, facts.wind_by, due), facts.started_at), facts.started_at, watch.urgent)
    due, worth_saying = due.replace(microsecond=0), facts.wind_by > now
    if asked.heard_at is not None:
        worth_saying = facts.wind_by + WORTH_SAYING > now
        if last is not None and last.state == "planned" and last.facts.wind_by > last.planned_at:
            # The look that was offered has become needless.
            return [_ended(last, watch), _new(watch, asked.kind, facts, due, now, last.ordinal + 1)]
    if last is None or last.state == "withdrawn":
        ordinal = 1 if last is None else last.ordinal
        return [_new(watch, asked.kind, facts, due, now, ordinal)] if worth_saying else []
    if last.state == "planned":
        return [replace(last, due_at=max(due, last.planned_at), useful_until=facts.wind_by, facts=facts)]
    if _said_again(last.facts.wind_by, facts.wind_by, due, now):
        return [
            *([_ended(last, watch)] if last.open else []),
            _new(watch, asked.kind, facts, due, now, last.ordinal + 1),
        ]
    return _told(last, facts, now)


def _called_at(watch: KeptWatch, wind_by: datetime, notice_at: datetime) -> datetime:
    """When a last call is told: at the last round, where it isn't named there; else at its notice.

    If the digest of that round names it, not on top of that one: an hour later, or half way to the wind-by if that is less.
    """
    if watch.last_round is None:
        return notice_at
    if watch.in_digest:
        return max(notice_at, watch.last_round + min(AFTER_DIGEST, (wind_by - watch.last_round) / 2))
    return min(notice_at, watch.last_round)


def _new(  # noqa: PLR0917 -- the parts of one reminder
    watch: KeptWatch, kind: str, facts: Facts, due: datetime, now: datetime, ordinal: int = 1
) -> Reminder:
    now = now.replace(microsecond=0)
    return Reminder(
        uid=uid_of(kind, watch.watch_uid, watch.wind_uid, str(ordinal)),
        kind=kind,
        subject_uid=watch.watch_uid,
        episode=watch.wind_uid,
        ordinal=ordinal,
        due_at=max(due, now),
        useful_until=facts.wind_by,
        facts=facts,
        state="planned",
        planned_at=now,
    )


def _said_again(told: datetime, wind_by: datetime, due: datetime, now: datetime) -> bool:
    """Whether a wind-by that moved after it was told is worth another message.

    Moved on: once its own notice begins. Moved nearer: at once, for the one told would come too late.
    """
    if wind_by - told >= SAID_AGAIN_FROM:
        return due > now
    return told - wind_by >= SAID_AGAIN_FROM and wind_by > now


def _told(last: Reminder, facts: Facts, now: datetime) -> list[Reminder]:
    """A reminder that was told stays as it is, or comes back when what closed it was undone."""
    if last.state == "closed" and (last.closed_by == "done" or facts.wind_by + WORTH_SAYING <= now):
        return []
    told = replace(facts, wind_by=last.facts.wind_by)
    return [replace(last, state="due", closed_by=None, useful_until=facts.wind_by, facts=told)]
