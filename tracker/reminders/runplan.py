"""Which reminders of runs there should be: a pure function of the watches at rest, the reminders there are, and now."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from tracker.reminders.reminder import RUN, RunReminder
from tracker.reminders.runfacts import RunFacts
from tracker.uids import uid_of

USEFUL = timedelta(days=365)
"""A run waits; so long it is still worth telling."""
NEVER = "never"
"""The episode of a watch of which no run is noted."""


@dataclass(frozen=True, slots=True)
class ToRun:
    """A watch at rest that is to run now and then: `last` names its newest winding or wear, `due_at` is its day's round."""

    watch_uid: str
    last: str
    due_at: datetime
    facts: RunFacts


def plan_runs(to_run: Sequence[ToRun], known: Sequence[RunReminder], now: datetime) -> list[RunReminder]:
    """The reminders to be written, as they should read: those that are new, and those that change.

    Args:
        to_run: every watch that is to run now and then; what is open of others is over.
        known: all reminders of runs of these watches, and those that are open.
        now: this moment.
    """
    wanted = {(each.watch_uid, each.last): each for each in to_run}
    places = {(each.subject_uid, each.episode): each for each in known}
    last_at = {each.watch_uid: each.facts.last_at for each in to_run}
    changes = [_over(each, last_at.get(each.subject_uid)) for place, each in places.items() if place not in wanted]
    changes += [_wanted(each, places.get(place), now) for place, each in sorted(wanted.items())]
    return [each for each in changes if each not in known]


def _over(reminder: RunReminder, last_at: datetime | None) -> RunReminder:
    """Wound or worn since, or no longer to run."""
    if reminder.state == "planned":
        return replace(reminder, state="withdrawn")
    if reminder.state != "due":
        return reminder
    before = reminder.facts.last_at
    ran = last_at is not None and (before is None or last_at > before)
    return replace(reminder, state="closed", closed_by="wound" if ran else "lapsed")


def _wanted(each: ToRun, present: RunReminder | None, now: datetime) -> RunReminder:
    """New, brought up to date while nobody was told, or as it is; one that is over stands again, and is not sent again."""
    if present is None:
        return _new(each, now)
    if present.state in {"planned", "withdrawn"}:
        due = max(each.due_at, present.planned_at).replace(microsecond=0)
        return replace(present, state="planned", facts=each.facts, due_at=due, useful_until=due + USEFUL)
    return present if present.closed_by == "done" else replace(present, state="due", closed_by=None)


def _new(each: ToRun, now: datetime) -> RunReminder:
    now = now.replace(microsecond=0)
    due = max(each.due_at, now).replace(microsecond=0)
    return RunReminder(
        uid=uid_of(RUN, each.watch_uid, each.last, "1"),
        kind=RUN,
        subject_uid=each.watch_uid,
        episode=each.last,
        ordinal=1,
        due_at=due,
        useful_until=due + USEFUL,
        facts=each.facts,
        state="planned",
        planned_at=now,
    )
