"""When the owner is away: reminders stand still from leaving to the return."""

import json
from datetime import timedelta

from tracker.commands.base import Command, Who
from tracker.commands.fields import Moment, Uid
from tracker.errors import BadInput, Conflict, NotFound
from tracker.store import absences, register
from tracker.store.moments import to_text
from tracker.store.writer import Writer
from tracker.words import say

LONGEST = timedelta(days=366)


class KeepAbsence(Command):
    """The owner is away from `leave` to `back`; the watches `taken` travel along. It may have begun already."""

    leave: Moment
    back: Moment
    taken: tuple[Uid, ...] = ()
    replaces: Uid | None = None

    def apply(self, writer: Writer, who: Who) -> None:
        if not self.leave < self.back <= self.leave + LONGEST:
            raise BadInput(say("You come back after you leave, within a year."), field="back")
        if self.back < who.now:
            raise BadInput(
                say("This time has passed."), field="back", accepted=say("Give the time at which you come back.")
            )
        if any(register.watch(writer.db, uid) is None for uid in self.taken):
            raise NotFound(say("There is no such watch, or no longer."))
        if self.replaces is not None:
            DropAbsence(absence_uid=self.replaces).apply(writer, who)
        writer.insert(
            "absence",
            {
                "uid": self.uid,
                "leave_utc": to_text(self.leave),
                "back_utc": to_text(self.back),
                "taken": json.dumps(self.taken),
                "zone": who.zone,
                "noted_at_utc": to_text(who.now),
                "person_uid": who.person_uid,
                "origin": who.origin,
                "replaces": self.replaces,
            },
        )
        if absences.overlap(writer.db):
            raise Conflict(say("You are away then already. Take the other absence back first."))


class DropAbsence(Command):
    """The owner is not away then after all."""

    absence_uid: Uid

    def apply(self, writer: Writer, _who: Who) -> None:
        if absences.absence(writer.db, self.absence_uid) is None:
            raise NotFound(say("There is no such absence, or no longer."))
        writer.void("absence", self.absence_uid)
