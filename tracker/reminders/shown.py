"""What the pages show of the reminders."""

from dataclasses import dataclass
from datetime import datetime

from sqlite_utils import Database

from tracker.reminders.plan import WORTH_SAYING
from tracker.reminders.reminder import LAST_CALL, reminder_from_row
from tracker.store import reminders as rows


@dataclass(frozen=True, slots=True)
class Shown:
    """A reminder as the page shows it; `late` means that the wind-by is past."""

    watch_uid: str
    nickname: str
    wind_by: datetime
    late: bool


def on_page(db: Database, now: datetime) -> list[Shown]:
    """The last calls that are due and not too late to matter, the most urgent first; cues have a page of their own."""
    rows_due = rows.due_reminders(db, now - WORTH_SAYING)
    due = [reminder_from_row(row) for row in rows_due if row["kind"] == LAST_CALL]
    return [Shown(r.subject_uid, r.facts.nickname, r.useful_until, r.useful_until <= now) for r in due]
