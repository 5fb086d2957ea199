"""The outbox: what is to be said, to whom it has been said, and what is still on its way."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

from sqlite_utils import Database

from tracker.collection import preferences_of
from tracker.reminders.answer import Answer
from tracker.reminders.cueplan import CueToTell, plan_cues
from tracker.reminders.message import Message, of_row
from tracker.reminders.plan import WORTH_SAYING, Hush, KeptWatch, at_once, plan
from tracker.reminders.quiet import Quiet, told_at
from tracker.reminders.reminder import (
    CUE,
    LAST_CALL,
    LOOK,
    RUN,
    WINDER,
    cue_from_row,
    reminder_from_row,
    reminder_row,
    run_from_row,
    winder_from_row,
)
from tracker.reminders.runplan import ToRun, plan_runs
from tracker.reminders.winderfacts import WinderFacts
from tracker.reminders.winderplan import plan_winders
from tracker.store import reminders as rows
from tracker.store.moments import to_text
from tracker.uids import uid_of
from tracker.words import say

PAGE = "page"
ADDRESS = "address"

LEASE = timedelta(minutes=2)
BACKOFF_MIN = (1, 2, 5, 15, 30, 60)
AFTER_SILENCE_MIN = 15
MOST_TRIES = 12
DAY_BEGINS, DAY_ENDS = time(9), time(21)
MOST_UNANSWERED = 2
"""A message that may have arrived is sent once more and never again."""


def replan(
    db: Database, watches: Sequence[KeptWatch], notice_h: float, now: datetime, *, gone: Sequence[str] = ()
) -> None:
    """Bring the reminders of these watches to what is true now, inside the change that made it so.

    Args:
        db: inside a change.
        watches: every watch the change touched.
        notice_h: how long before a wind-by the owner wants to hear of it, hours.
        now: this moment.
        gone: uids of watches that were touched and are no more.
    """
    asked = [*watches, *(KeptWatch(uid, "", "", None, None) for uid in gone)]
    known = [
        reminder_from_row(row)
        for watch in asked
        for kind in (LAST_CALL, LOOK)
        for row in rows.reminders_of(db, kind, watch.watch_uid, watch.wind_uid)
    ]
    for reminder in plan(asked, known, notice_h, now, hush_of(db, now)):
        rows.write_reminder(db, reminder_row(reminder, now))


def hush_of(db: Database, now: datetime) -> Hush:
    """The owner's quiet hours."""
    held = preferences_of(db)
    if not (held.values.quiet_from and held.values.quiet_to):
        return at_once
    quiet = Quiet(time.fromisoformat(held.values.quiet_from), time.fromisoformat(held.values.quiet_to))
    return lambda due, began, urgent: told_at(due, began, now, quiet, held.zone, urgent=urgent)


def replan_cues(db: Database, watch_uids: Sequence[str], cues: Mapping[str, CueToTell], now: datetime) -> None:
    """Bring the reminders of cues of these watches to what is true now, inside the change that made it so.

    Args:
        db: inside a change.
        watch_uids: every watch that was looked at.
        cues: those of them with a cue to be told; nobody is told of one at night.
        now: this moment.
    """
    known = [cue_from_row(row) for row in rows.reminders_about(db, CUE, watch_uids)]
    if not known and not cues:
        return
    zone = preferences_of(db).zone
    for reminder in plan_cues(watch_uids, cues, known, due_at=by_day(now, zone), now=now):
        rows.write_reminder(db, reminder_row(reminder, now))


def replan_winders(db: Database, watch_uids: Sequence[str], found: Mapping[str, WinderFacts], now: datetime) -> None:
    """Bring the reminders of the winders of these watches to what is true now, inside one change.

    Args:
        db: inside a change.
        watch_uids: every watch that was looked at.
        found: what is found of them; at night only what can't wait is told.
        now: this moment.
    """
    known = [winder_from_row(row) for row in rows.reminders_about(db, WINDER, watch_uids)]
    if not known and not found:
        return
    zone = preferences_of(db).zone
    for reminder in plan_winders(watch_uids, found, known, due_at=by_day(now, zone), now=now):
        rows.write_reminder(db, reminder_row(reminder, now))


def replan_runs(db: Database, to_run: Sequence[ToRun], now: datetime) -> None:
    """Bring the reminders of runs to what is true now, inside one change; `to_run` are all watches that are to run."""
    about = rows.reminders_about(db, RUN, [each.watch_uid for each in to_run])
    found = {row["uid"]: run_from_row(row) for row in [*about, *rows.open_rows(db, RUN)]}
    for reminder in plan_runs(to_run, list(found.values()), now):
        rows.write_reminder(db, reminder_row(reminder, now))


def by_day(now: datetime, zone: ZoneInfo) -> datetime:
    """Now if it is day on the owner's clock, else the next morning: a cue can wait."""
    local = now.astimezone(zone)
    if DAY_BEGINS <= local.time() < DAY_ENDS:
        return now
    date = local.date() if local.time() < DAY_BEGINS else local.date() + timedelta(days=1)
    return datetime.combine(date, DAY_BEGINS, zone).astimezone(now.tzinfo)


def make_due(db: Database, now: datetime) -> None:
    """Make planned reminders due whose moment has come, with a delivery for each channel, inside one change.

    On the page they stand from this moment; a message waits for its channel.
    """
    said = to_text(now)
    for reminder_uid in rows.make_due(db, now, now - WORTH_SAYING):
        for channel, state, sent in ((PAGE, "sent", said), (ADDRESS, "waiting", None)):
            rows.add_delivery(
                db,
                {
                    "uid": uid_of("delivery", reminder_uid, channel),
                    "reminder_uid": reminder_uid,
                    "channel": channel,
                    "state": state,
                    "next_try_utc": said,
                    "sent_at_utc": sent,
                },
            )


@dataclass(frozen=True, slots=True)
class Claim:
    """A delivery held until its lease ends; `tries` tells this claim from any other of it."""

    uid: str
    channel: str
    tries: int
    unanswered: int


def claim(db: Database, now: datetime, *, without: Collection[str] = ()) -> Claim | None:
    """Take hold of the next delivery to be made now, inside a change, so that no one else makes it meanwhile.

    Args:
        db: inside a change.
        now: this moment.
        without: channels not to be tried now.
    """
    rows.stop_repeating(db, now, now + LEASE, say("Broken off twice while it was being sent; it may have arrived."))
    row = rows.claim_delivery(
        db,
        now,
        lease_end=now + LEASE,
        latest_try=now + timedelta(minutes=max(*BACKOFF_MIN, AFTER_SILENCE_MIN)),
        useful_from=now - WORTH_SAYING,
        without=without,
    )
    return None if row is None else Claim(row["uid"], row["channel"], row["tries"], row["unanswered"])


def look_again(db: Database, held: Claim, now: datetime, zone: ZoneInfo) -> Message | None:
    """What to say for this claim; None, and the claim let go, if it is no longer true or no longer ours."""
    row = rows.reminder_of_claim(db, held.uid, held.tries)
    if row is None:
        # Should the reminder come true again by an undo, this delivery is made after all.
        rows.end_claim(db, held.uid, held.tries, {"state": "waiting", "tries": held.tries - 1})
        return None
    return of_row(row, now, zone)


def settle(db: Database, held: Claim, answer: Answer, now: datetime) -> None:
    """Write what came of a claim; a channel that could not take it is left in peace for a while."""
    unanswered = held.unanswered + (answer.kind == "unanswered")
    values = {"unanswered": unanswered, "last_error": answer.reason}
    if answer.kind == "sent":
        state = "possibly twice" if unanswered else "sent"
        rows.end_claim(db, held.uid, held.tries, {**values, "state": state, "sent_at_utc": to_text(now)})
    elif answer.kind == "unanswered" and unanswered >= MOST_UNANSWERED:
        rows.end_claim(db, held.uid, held.tries, {**values, "state": "possibly twice"})
    elif answer.kind == "refused" or held.tries >= MOST_TRIES:
        rows.end_claim(db, held.uid, held.tries, {**values, "state": "given up"})
    else:
        minutes = AFTER_SILENCE_MIN if answer.kind == "unanswered" else _backoff_min(held.tries)
        next_try = now + timedelta(minutes=minutes)
        rows.end_claim(db, held.uid, held.tries, {**values, "state": "waiting", "next_try_utc": to_text(next_try)})
        rows.put_off(db, held.channel, next_try)


def _backoff_min(tries: int) -> int:
    return BACKOFF_MIN[min(tries, len(BACKOFF_MIN)) - 1]
