"""The digests of rounds as rows: brought to what the plan says, and struck off by what is wound."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from sqlite_utils import Database

from tracker.reminders.reminder import LAST_CALL, RoundReminder, reminder_from_row, reminder_row, round_from_row
from tracker.reminders.roundfacts import Named
from tracker.reminders.roundplan import Digest, Newest, Wait, Wound, is_wound, plan_rounds, struck
from tracker.store import log
from tracker.store import reminders as rows
from tracker.store.moments import from_text


def replan_rounds(
    db: Database,
    subject_uid: str,
    wanted: Sequence[Digest],
    now: datetime,
    *,
    present: Collection[str],
    as_now: Mapping[str, Named],
) -> None:
    """Bring the digests to the plan, inside a change; a watch that was wound since the plan was made is left out.

    `present` are the watches that go by rounds, the other arguments those of `plan_rounds`.
    """
    known = _known(db, now)
    planned = {named.watch_uid for digest in wanted for named in digest.named}
    newest = newest_windings(db, _watches(known) | planned)
    unwound = [_unwound(digest, newest) for digest in wanted]
    asked, gone = [digest for digest in unwound if digest.named], _watches(known) - {*present}
    for each in plan_rounds(subject_uid, asked, known, now, newest=newest, gone=gone, as_now=as_now):
        rows.write_reminder(db, reminder_row(each, now))
    _take_over(db, now)


def _take_over(db: Database, now: datetime) -> None:
    """A last call that nobody was told before its wind-by is not told beside a digest that says as much from then on."""
    come = [each for each in _known(db, now) if each.open and each.facts.at <= now]
    named = {(watch.watch_uid, each.uid): each for each in come for watch in each.facts.open}
    for row in rows.open_rows(db, LAST_CALL) if named else ():
        call = reminder_from_row(row)
        own = [each for (uid, _), each in named.items() if uid == call.subject_uid]
        says = any(each.state == "planned" or each.due_at >= call.useful_until for each in own)
        if says and call.state == "planned" and call.useful_until <= now:
            rows.write_reminder(db, reminder_row(replace(call, state="withdrawn"), now))


def _unwound(digest: Digest, newest: Newest) -> Digest:
    return replace(digest, named=tuple(each for each in digest.named if not is_wound(each, newest[each.watch_uid])))


def strike(db: Database, watch_uids: Collection[str], now: datetime) -> None:
    """Strike off these watches where they were wound since they were named, inside the change that notes it."""
    for each in _known(db, now):
        newest = newest_windings(db, {*watch_uids} & _watches([each]))
        after = struck(each, now, newest, gone=each.facts.gone) if newest else each
        if after != each:
            rows.write_reminder(db, reminder_row(after, now))


def newest_windings(db: Database, watch_uids: Iterable[str]) -> dict[str, Wound | None]:
    """By watch, its newest winding; None where none is noted."""
    found = {uid: log.newest_winding(db, uid) for uid in watch_uids}
    return {uid: each and Wound(*each) for uid, each in found.items()}


def episodes(db: Database, now: datetime) -> set[str]:
    """The rounds that have a digest of which something may still become."""
    return {each.episode for each in _known(db, now)}


def waits_since(db: Database, since: datetime) -> list[Wait]:
    """The digests that were told and not over by then, in the order they were told."""
    return [Wait(*map(from_text, each)) for each in rows.told_rounds(db, since)]


def untold(db: Database, now: datetime) -> bool:
    """Whether a round passed of which nobody was told."""
    return any(each.state == "planned" and each.useful_until <= now for each in _known(db, now))


def _known(db: Database, now: datetime) -> list[RoundReminder]:
    return [round_from_row(row) for row in rows.rounds_at_hand(db, now)]


def _watches(digests: Iterable[RoundReminder]) -> set[str]:
    return {named.watch_uid for each in digests for named in each.facts.named}
