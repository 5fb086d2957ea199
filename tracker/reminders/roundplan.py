"""Which digests of rounds there should be: a pure function of the plan, the digests there are, and now.

A digest follows the plan until its round has come. From then on the watches it names stay, and each is struck off when
it is wound; it is over when all are, or when the next round comes.
"""

from bisect import bisect_right
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import NamedTuple
from zoneinfo import ZoneInfo

from tracker.core.habit import DAY_MIN, TimeOfDay
from tracker.reminders.reminder import ROUND, RoundReminder
from tracker.reminders.roundfacts import Named, RoundFacts
from tracker.uids import uid_of

DAY = timedelta(days=1)
"""Told more than a day before its time it was told by a clock that was wrong, and is told anew; a clock set back by
hours doubles nothing."""


@dataclass(frozen=True, slots=True)
class Digest:
    """A round as it is to be told: `at` the round, `until` the one after it, `due_at` when it is told."""

    episode: str
    at: datetime
    until: datetime
    due_at: datetime
    named: tuple[Named, ...]


@dataclass(frozen=True, slots=True)
class Wound:
    """The newest winding of a watch: the uid under which it was first noted, whatever corrected it since, and when."""

    uid: str
    at: datetime


Newest = Mapping[str, Wound | None]


def episode_of(at: datetime, zone: ZoneInfo) -> str:
    """The round by the owner's clock, so that no change of zone or clock tells it twice: `2026-11-26T07:30`."""
    return f"{at.astimezone(zone):%Y-%m-%dT%H:%M}"


def told_from(at: datetime, usual: TimeOfDay | None, latest: datetime, zone: ZoneInfo) -> datetime:
    """When a round is told: once the owner's usual time of winding has passed by more than its spread.

    At its own time where nothing is usual, where that time has passed by then, or where `latest` would be past.
    """
    if usual is None:
        return at
    local = at.astimezone(zone)
    wait = timedelta(minutes=(usual.minute - 60 * local.hour - local.minute) % DAY_MIN + usual.spread_min)
    return at + wait if at + wait <= latest else at


class Wait(NamedTuple):
    """A digest that was told: its round, when it was told, and until when it was worth it."""

    at: datetime
    told_at: datetime
    until: datetime


def unwaited(wound_at: datetime, waits: Sequence[Wait]) -> datetime:
    """A winding as a sign of the owner's habit: one that followed its digest counts as if that had not waited.

    Else the digest would wait for an owner who waits for the digest, later every week. `waits` in the order they were told.
    """
    place = bisect_right(waits, wound_at, key=lambda wait: wait.told_at) - 1
    last = waits[place] if place >= 0 else None
    return wound_at - (last.told_at - last.at) if last and wound_at < last.until else wound_at


def is_wound(named: Named, newest: Wound | None) -> bool:
    """Whether a watch was wound since it was named."""
    if newest is None or newest.uid == named.wound:
        return False
    return named.wound_at is None or newest.at > named.wound_at


def plan_rounds(
    subject_uid: str,
    wanted: Sequence[Digest],
    known: Sequence[RoundReminder],
    now: datetime,
    *,
    newest: Newest,
    gone: Collection[str] = (),
    as_now: Mapping[str, Named] | None = None,
) -> list[RoundReminder]:
    """The digests to be written, as they should read: those that are new, and those that change.

    Args:
        subject_uid: whose rounds they are.
        wanted: the rounds of the plan in order; one that has come is told late if it was never planned.
        known: the digests that are open and all those whose time is not over.
        now: this moment.
        newest: by watch, its newest winding, for all that are named.
        gone: watches that no longer go by rounds.
        as_now: by watch, how it would be named now.
    """
    by_episode = {each.episode: each for each in wanted}
    last = {each.episode: each for each in sorted(known, key=lambda each: each.ordinal)}
    following = next((each for each in wanted if each.at > now), None)
    changes = []
    for each in known:
        planned = by_episode.get(each.episode)
        if each is not last[each.episode]:
            kept = _lapsed(each) if each.open else each
        elif not _told(each) and each.facts.at > now:
            kept = _to_come(each, planned if each.open or planned is following else None)
        else:
            kept = struck(each, now, newest, gone=gone, as_now=as_now)
        changes += [kept] if kept != each else []
    for digest in wanted:
        before = last.get(digest.episode)
        if before is None and (digest is following or digest.at <= now):
            changes.append(_new(subject_uid, digest, now))
        elif before is not None and _told_early(before, now):
            changes.append(_new(subject_uid, digest, now, before.ordinal + 1))
    return changes


def struck(
    reminder: RoundReminder,
    now: datetime,
    newest: Newest,
    *,
    gone: Collection[str] = (),
    as_now: Mapping[str, Named] | None = None,
) -> RoundReminder:
    """A digest with the watches struck off that were wound since they were named; those not in `newest` stay as they are.

    With none left it is withdrawn, or closed if it was told; it comes back when that is undone.
    """
    facts = reminder.facts
    wound = {uid for uid in facts.wound if uid not in newest}
    wound |= {each.watch_uid for each in facts.named if is_wound(each, newest.get(each.watch_uid))}
    named = tuple(_as_now(each, (as_now or {}).get(each.watch_uid)) for each in facts.named)
    out = {*gone} | {*(facts.gone if reminder.state == "withdrawn" else ())}
    left = tuple(each.watch_uid for each in named if each.watch_uid in out)
    facts = replace(facts, named=named, wound=tuple(sorted(wound)), gone=left)
    reminder = replace(reminder, facts=facts)
    stands = bool(facts.open) and now < reminder.useful_until and not _told_early(reminder, now)
    if not _told(reminder):
        return replace(reminder, state="planned" if stands else "withdrawn")
    if reminder.closed_by == "done":
        return reminder
    if stands:
        return replace(reminder, state="due", closed_by=None)
    if reminder.state == "closed":
        return reminder
    return replace(reminder, state="closed", closed_by="wound" if facts.wound and not facts.open else "lapsed")


def _as_now(named: Named, newer: Named | None) -> Named:
    if newer is None:
        return named
    return replace(named, nickname=newer.nickname, at_hand=newer.at_hand, wind_by=newer.wind_by)


def _told(reminder: RoundReminder) -> bool:
    return reminder.state in {"due", "closed"}


def _told_early(reminder: RoundReminder, now: datetime) -> bool:
    return _told(reminder) and reminder.due_at > now + DAY


def _lapsed(reminder: RoundReminder) -> RoundReminder:
    if reminder.state == "planned":
        return replace(reminder, state="withdrawn")
    return replace(reminder, state="closed", closed_by="lapsed")


def _to_come(reminder: RoundReminder, planned: Digest | None) -> RoundReminder:
    """A round that has not come yet and was not told follows the plan."""
    if planned is None:
        # No one is asked for, lest it come back when its time has come.
        gone = tuple(each.watch_uid for each in reminder.facts.named)
        return replace(reminder, state="withdrawn", facts=replace(reminder.facts, wound=(), gone=gone))
    return replace(
        reminder,
        state="planned",
        due_at=max(planned.due_at, reminder.planned_at).replace(microsecond=0),
        useful_until=planned.until,
        facts=RoundFacts(at=planned.at, named=planned.named),
    )


def _new(subject_uid: str, digest: Digest, now: datetime, ordinal: int = 1) -> RoundReminder:
    now = now.replace(microsecond=0)
    return RoundReminder(
        uid=uid_of(ROUND, subject_uid, digest.episode, str(ordinal)),
        kind=ROUND,
        subject_uid=subject_uid,
        episode=digest.episode,
        ordinal=ordinal,
        due_at=max(digest.due_at, now).replace(microsecond=0),
        useful_until=digest.until,
        facts=RoundFacts(at=digest.at, named=digest.named),
        state="planned",
        planned_at=now,
    )
