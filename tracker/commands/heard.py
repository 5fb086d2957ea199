"""The owner's word on what a rest sensor told."""

from typing import Annotated

from pydantic import BeforeValidator

from tracker.commands.base import Command, Who
from tracker.commands.fields import Moment, Uid, blank_as_none
from tracker.core.heard import AnswerWord
from tracker.errors import NotFound
from tracker.store import heard, log, register
from tracker.store.moments import to_text
from tracker.store.writer import Writer
from tracker.words import say


class AnswerSensor(Command):
    """What was so at the moment `at` which this sensor told of; `entry_uid` is the entry of the log that says otherwise."""

    watch_uid: Uid
    sensor_uid: Uid
    at: Moment
    word: AnswerWord
    entry_uid: Annotated[Uid | None, BeforeValidator(blank_as_none)] = None

    def apply(self, writer: Writer, who: Who) -> None:
        if register.watch(writer.db, self.watch_uid) is None:
            raise NotFound(say("There is no such watch, or no longer."))
        if not heard.knows_sensor(writer.db, self.sensor_uid):
            raise NotFound(say("There is no such sensor, or no longer."))
        if self.entry_uid is not None and log.find_entry(writer.db, self.entry_uid) is None:
            raise NotFound(say("There is no such entry, or no longer."))
        writer.insert(
            "sensor_answer",
            {
                "uid": self.uid,
                "watch_uid": self.watch_uid,
                "sensor_uid": self.sensor_uid,
                "at_utc": to_text(self.at),
                "word": self.word,
                "of_uid": self.entry_uid,
                "noted_at_utc": to_text(who.now),
                "person_uid": who.person_uid,
                "origin": who.origin,
            },
        )
