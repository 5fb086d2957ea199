"""Which reminders of winders there should be: a pure function of what is found, the reminders there are, and now."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from tracker.reminders.reminder import WINDER, WinderReminder
from tracker.reminders.winderfacts import WinderFacts
from tracker.store.moments import to_text
from tracker.uids import uid_of

USEFUL = timedelta(days=30)
"""So long a finding that holds is worth telling."""


def plan_winders(
    watch_uids: Sequence[str],
    found: Mapping[str, WinderFacts],
    known: Sequence[WinderReminder],
    *,
    due_at: datetime,
    now: datetime,
) -> list[WinderReminder]:
    """The reminders to be written, as they should read: those that are new, and those that change.

    Args:
        watch_uids: every watch that was looked at.
        found: of those of which something is found, the facts.
        known: all reminders of winders of these watches.
        due_at: when what can wait may be told; what can't, since the watch would stop before, is told now.
        now: this moment.
    """
    changes: list[WinderReminder] = []
    for uid in sorted(watch_uids):
        facts = found.get(uid)
        own = [reminder for reminder in known if reminder.subject_uid == uid]
        present = next((each for each in own if facts and each.episode == episode(facts)), None)
        changes += [_over(each) for each in own if each.open and each is not present]
        if facts is not None:
            wanted = _wanted(uid, facts, present, due_at, now)
            changes += [wanted] if wanted != present else []
    return changes


def episode(facts: WinderFacts) -> str:
    """What is told once: what was found, from when on."""
    return f"{facts.word} {to_text(facts.since)}"


def _over(reminder: WinderReminder) -> WinderReminder:
    """No longer true: withdrawn where nobody was told yet, else lapsed."""
    if reminder.state == "planned":
        return replace(reminder, state="withdrawn")
    return replace(reminder, state="closed", closed_by="lapsed")


def _wanted(
    uid: str, facts: WinderFacts, present: WinderReminder | None, due_at: datetime, now: datetime
) -> WinderReminder:
    """The reminder of this finding: new, brought up to date while nobody was told, or as it is.

    One that has lapsed stands again, and is not sent again.
    """
    if present is not None and present.state in {"due", "closed"}:
        return replace(present, state="due", closed_by=None) if present.closed_by == "lapsed" else present
    if present is not None and present.state == "planned":
        return replace(present, facts=facts)
    when = now if facts.stops_at is not None and facts.stops_at < due_at else due_at
    return WinderReminder(
        uid=uid_of(WINDER, uid, episode(facts), "1"),
        kind=WINDER,
        subject_uid=uid,
        episode=episode(facts),
        ordinal=1,
        due_at=when.replace(microsecond=0),
        useful_until=(when + USEFUL).replace(microsecond=0),
        facts=facts,
        state="planned",
        planned_at=now.replace(microsecond=0),
    )
