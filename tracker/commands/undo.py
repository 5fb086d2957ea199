"""Taking back this person's newest change."""

from tracker.commands.base import Command, Who
from tracker.commands.fields import Uid
from tracker.errors import Conflict, NotFound
from tracker.store import absences, channels, command_log, sensors
from tracker.store.writer import Writer
from tracker.words import say


class Undo(Command):
    """Undo one of this person's batches of commands: the one named, else the newest not yet undone."""

    batch: Uid | None = None

    def apply(self, writer: Writer, who: Who) -> None:
        batch = self.batch or command_log.newest_batch(writer.db, who.person_uid)
        rows = [] if batch is None else command_log.batch_rows(writer.db, batch, who.person_uid)
        if not rows:
            raise NotFound(say("There is nothing to undo."))
        if command_log.changed_since(writer.db, rows):
            raise Conflict(say("This can't be undone: it was changed again since. Undo the later change first."))
        for row in rows:
            for image in reversed(row["before"]):
                writer.take_back(image)
            command_log.mark_undone(writer.db, row["uid"], self.uid)
        if sensors.overlap(writer.db):
            raise Conflict(
                say("This can't be undone: another watch was laid there since. Undo the later change first.")
            )
        if channels.two_of_a_name(writer.db):
            raise Conflict(say("This can't be undone: another channel has this name now."))
        if channels.lacks_address(writer.db):
            raise Conflict(say("This can't be undone: the address was forgotten. Add the channel again."))
        if absences.overlap(writer.db):
            raise Conflict(say("This can't be undone: you are away then by a later note. Undo the later change first."))
