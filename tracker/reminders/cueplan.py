"""Which reminders of cues there should be: a pure function of the cues that hold, the reminders there are, and now."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from tracker.reminders.cuefacts import CueFacts
from tracker.reminders.reminder import CUE, CueReminder
from tracker.store.moments import to_text
from tracker.uids import uid_of

USEFUL = timedelta(days=365)
"""A cue waits; so long it is still worth telling while it holds."""


@dataclass(frozen=True, slots=True)
class CueToTell:
    """A cue that holds and is to be told: the how-manieth saying of it, and until when its owner asked for silence."""

    watch_uid: str
    cue_uid: str
    ordinal: int
    quiet_until: datetime | None
    facts: CueFacts

    @property
    def occasion(self) -> tuple[str, int]:
        """What is told once: each saying, and the end of each silence."""
        if self.quiet_until is None:
            return self.cue_uid, self.ordinal
        return f"{self.cue_uid} {to_text(self.quiet_until)}", 1


def plan_cues(
    watch_uids: Sequence[str],
    cues: Mapping[str, CueToTell],
    known: Sequence[CueReminder],
    *,
    due_at: datetime,
    now: datetime,
) -> list[CueReminder]:
    """The reminders to be written, as they should read: those that are new, and those that change.

    Args:
        watch_uids: every watch that was looked at.
        cues: those of them with a cue to be told.
        known: of these watches, the reminders of cues that are open and all those of the occasion.
        due_at: when a saying of now may be told.
        now: this moment.
    """
    changes: list[CueReminder] = []
    for uid in sorted(watch_uids):
        cue = cues.get(uid)
        own = [reminder for reminder in known if reminder.subject_uid == uid]
        present = next((each for each in own if cue and (each.episode, each.ordinal) == cue.occasion), None)
        changes += [_over(each, cue) for each in own if each.open and each is not present]
        if cue is not None:
            wanted = _wanted(cue, present, due_at, now)
            changes += [wanted] if wanted != present else []
    return changes


def _over(reminder: CueReminder, cue: CueToTell | None) -> CueReminder:
    """No longer to be told: withdrawn where nobody was told yet; else done by an answer or a later saying, or lapsed."""
    if reminder.state == "planned":
        return replace(reminder, state="withdrawn")
    return replace(reminder, state="closed", closed_by="done" if cue else "lapsed")


def _wanted(cue: CueToTell, present: CueReminder | None, due_at: datetime, now: datetime) -> CueReminder:
    """The reminder of this occasion: new, brought up to date while nobody was told, or as it is."""
    if present is not None and present.state in {"due", "closed"}:
        return present
    if present is not None and present.state == "planned":
        return replace(present, facts=cue.facts)
    episode, ordinal = cue.occasion
    when = (cue.quiet_until or due_at).replace(microsecond=0)
    return CueReminder(
        uid=uid_of(CUE, cue.watch_uid, episode, str(ordinal)),
        kind=CUE,
        subject_uid=cue.watch_uid,
        episode=episode,
        ordinal=ordinal,
        due_at=when,
        useful_until=when + USEFUL,
        facts=cue.facts,
        state="planned",
        planned_at=now.replace(microsecond=0),
    )
