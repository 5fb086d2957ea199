"""Answering a service cue."""

from calendar import monthrange
from datetime import datetime
from typing import Annotated

from pydantic import BeforeValidator, Field

from tracker.commands.base import Command, Who
from tracker.commands.fields import Uid, blank_as_none
from tracker.errors import NotFound
from tracker.store import register
from tracker.store.cues import open_cues
from tracker.store.moments import to_text
from tracker.store.writer import Writer
from tracker.words import say

MONTHS_OF_SILENCE = 3

Months = Annotated[int, BeforeValidator(blank_as_none), Field(ge=1, le=60)]


class AcknowledgeCue(Command):
    """I know of this watch's cue: ask again in so many months. A worse step speaks before that."""

    watch_uid: Uid
    months: Months = MONTHS_OF_SILENCE

    def apply(self, writer: Writer, who: Who) -> None:
        watch = register.watch(writer.db, self.watch_uid)
        if watch is None:
            raise NotFound(say("There is no such watch, or no longer."))
        held = open_cues(writer.db, [watch.uid]).get(watch.uid)
        if held is None:
            raise NotFound(say("{nickname} has no cue, or no longer.", nickname=watch.nickname))
        writer.edit("cue", held.uid, None, {"quiet_until_utc": to_text(months_on(who.now, self.months))})


def months_on(moment: datetime, months: int) -> datetime:
    """The same day so many months later, or the last of that month."""
    year, month = divmod(moment.year * 12 + moment.month - 1 + months, 12)
    return moment.replace(year=year, month=month + 1, day=min(moment.day, monthrange(year, month + 1)[1]))
