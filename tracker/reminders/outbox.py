"""The outbox: what is to be said, to whom it has been said, and what is still on its way."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
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
from tracker.store import channels
from tracker.store import reminders as rows
from tracker.store.channels import Rest
from tracker.store.moments import to_text
from tracker.uids import uid_of
from tracker.words import say

PAGE = "page"
LEASE = timedelta(minutes=2)
BACKOFF_MIN = (1, 2, 5, 15, 30, 60)
AFTER_SILENCE_MIN = 15
LONGEST_REST = timedelta(minutes=max(*BACKOFF_MIN, AFTER_SILENCE_MIN))
REMEMBERED = timedelta(days=1)
"""So long an undo brings a removed channel back whole."""
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

    On the page they stand from this moment; a message waits for its channel. A channel added or taken up again
    meanwhile is told of what is still true.
    """
    said = to_text(now)
    rows.make_due(db, now, now - WORTH_SAYING)
    ways = [PAGE, *(each.uid for each in channels.channels(db) if not each.paused)]
    for each in rows.untold(db, now, now - WORTH_SAYING, ways):
        on_page = each["channel"] == PAGE
        rows.add_delivery(
            db,
            {
                "uid": uid_of("delivery", each["reminder_uid"], each["channel"], str(each["telling"])),
                **each,
                "state": "sent" if on_page else "waiting",
                "next_try_utc": said,
                "sent_at_utc": said if on_page else None,
            },
        )
    channels.forget_removed(db, now - REMEMBERED)


@dataclass(frozen=True, slots=True)
class Claim:
    """A delivery held until its lease ends; `tries` tells this claim from any other of it."""

    uid: str
    reminder_uid: str
    channel: str
    telling: int
    tries: int
    unanswered: int


def claim(db: Database, now: datetime, channel: str) -> Claim | None:
    """Take hold of the next delivery to be made now on a channel, inside a change, so that no one else makes it meanwhile.

    None if there is none, or while the channel is left in peace. A rest longer than any can be was set by a clock since
    put back, and holds no longer.
    """
    rows.stop_repeating(db, now, now + LEASE, say("Broken off twice while it was being sent; it may have arrived."))
    rest = channels.rest_of(db, channel)
    if rest is not None and now < rest.until <= now + LONGEST_REST:
        return None
    row = rows.claim_delivery(
        db,
        now,
        lease_end=now + LEASE,
        latest_try=now + LONGEST_REST,
        useful_from=now - WORTH_SAYING,
        channel=channel,
    )
    return None if row is None else Claim(**row)


def look_again(db: Database, held: Claim, now: datetime, zone: ZoneInfo) -> Message | None:
    """What to say for this claim; None, and the claim let go, if it is no longer true or no longer ours."""
    row = rows.reminder_of_claim(db, held.uid, held.tries)
    if row is None:
        # Should the reminder come true again by an undo, this delivery is made after all.
        rows.end_claim(db, held.uid, held.tries, {"state": "waiting", "tries": held.tries - 1})
        return None
    said = of_row(row, now, zone)
    # Put off and told again it is another message, not a repeat of the first.
    return said if row["telling"] == 1 else replace(said, key=f"{said.key}/again-{row['telling'] - 1}")


def settle(db: Database, held: Claim, answer: Answer, now: datetime) -> None:
    """Write what came of a claim; a channel that could not take it is left in peace for a while, longer each time.

    What surely failed is tried again for as long as it is true.
    """
    unanswered = held.unanswered + (answer.kind == "unanswered")
    values = {"unanswered": unanswered, "last_error": answer.reason}
    if answer.kind in {"sent", "refused"}:
        channels.in_order(db, held.channel)
        told = "possibly twice" if unanswered else "sent"
        ended = {"state": told, "sent_at_utc": to_text(now)} if answer.kind == "sent" else {"state": "given up"}
        rows.end_claim(db, held.uid, held.tries, {**values, **ended})
        return
    rest = channels.rest_of(db, held.channel)
    failures, since = (1, now) if rest is None else (rest.failures + 1, rest.since)
    minutes = AFTER_SILENCE_MIN if answer.kind == "unanswered" else 0
    until = now + timedelta(minutes=max(minutes, BACKOFF_MIN[min(failures, len(BACKOFF_MIN)) - 1]))
    channels.let_rest(db, held.channel, Rest(failures, since, until))
    last = answer.kind == "unanswered" and unanswered >= MOST_UNANSWERED
    state = {"state": "possibly twice"} if last else {"state": "waiting", "next_try_utc": to_text(until)}
    rows.end_claim(db, held.uid, held.tries, {**values, **state})
