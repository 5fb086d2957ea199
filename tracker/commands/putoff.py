"""A reminder put off: no channel tells it before the moment named, then each tells it once more."""

from tracker.commands.base import Command, Who
from tracker.commands.fields import Moment, Uid
from tracker.errors import BadInput, Conflict, NotFound
from tracker.store import reminders as rows
from tracker.store import snoozes
from tracker.store.moments import to_text
from tracker.store.writer import Writer
from tracker.words import say


class PutOff(Command):
    """Tell this reminder again at `until`, if it is still true then."""

    reminder_uid: Uid
    until: Moment

    def apply(self, writer: Writer, who: Who) -> None:
        row = rows.reminder(writer.db, self.reminder_uid)
        if row is None:
            raise NotFound(say("There is no such reminder, or no longer."))
        if row["state"] != "due":
            raise Conflict(say("This reminder is over, or not told yet; it can't be put off."))
        if self.until <= who.now:
            raise BadInput(say("This moment has passed."), field="until", accepted=say("Choose one that is to come."))
        writer.insert(
            "snooze",
            {
                "uid": self.uid,
                "reminder_uid": self.reminder_uid,
                "until_utc": to_text(self.until),
                "telling": snoozes.next_telling(writer.db, self.reminder_uid),
                "noted_at_utc": to_text(who.now),
                "person_uid": who.person_uid,
                "origin": who.origin,
            },
        )
