"""Taking back this person's newest change, or one that is named."""

from sqlite_utils import Database

from tracker.commands.base import Command, Who
from tracker.commands.fields import Uid
from tracker.commands.permitted import refuse_kinds
from tracker.errors import Conflict, NotFound
from tracker.store import absences, benchtests, channels, command_log, people, sensors
from tracker.store.writer import Writer
from tracker.words import say


class Undo(Command):
    """Undo one batch of commands: the one named, an owner anyone's, a helper their own; else this person's newest not yet undone."""

    batch: Uid | None = None

    def apply(self, writer: Writer, who: Who) -> None:
        giver = people.person(writer.db, who.person_uid)
        batch = self.batch or command_log.newest_batch(writer.db, who.person_uid)
        anyones = giver is not None and giver.role == "owner" and not who.as_helper
        whose = None if anyones else who.person_uid
        rows = [] if batch is None else command_log.batch_rows(writer.db, batch, whose)
        if not rows:
            raise NotFound(say("There is nothing to undo."))
        refuse_kinds(giver, {row["kind"] for row in rows}, who)
        if command_log.changed_since(writer.db, rows):
            raise Conflict(say("This can't be undone: it was changed again since. Undo the later change first."))
        for row in rows:
            for image in reversed(row["before"]):
                writer.take_back(image)
            command_log.mark_undone(writer.db, row["uid"], self.uid)
        _refuse_contradictions(writer.db)


def _refuse_contradictions(db: Database) -> None:
    """Check that what stands again agrees with what came meanwhile.

    Raises:
        Conflict: no.
    """
    if sensors.overlap(db):
        raise Conflict(say("This can't be undone: another watch was laid there since. Undo the later change first."))
    if channels.two_of_a_name(db):
        raise Conflict(say("This can't be undone: another channel has this name now."))
    if channels.lacks_address(db):
        raise Conflict(say("This can't be undone: the address was forgotten. Add the channel again."))
    if people.two_of_a_name(db):
        raise Conflict(say("This can't be undone: someone else has this name now."))
    if people.lacks_hash(db):
        raise Conflict(say("This can't be undone: the former password was forgotten. Set a new one."))
    if benchtests.two_open(db):
        raise Conflict(say("This can't be undone: another test of this watch was begun since. Undo that first."))
    if absences.overlap(db):
        raise Conflict(say("This can't be undone: you are away then by a later note. Undo the later change first."))
