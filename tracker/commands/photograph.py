"""Photographs of the dial: one comes to an entry that tells of a stop, to be read later."""

import re
from typing import Annotated

from pydantic import AfterValidator, Field
from pydantic_core import PydanticCustomError

from tracker.commands.base import Command, Who
from tracker.commands.fields import Uid
from tracker.errors import BadInput, Conflict, NotFound
from tracker.photofile import MOST_BYTES, PDF, MediaType, Photograph
from tracker.store import attachments, log
from tracker.store.moments import to_text
from tracker.store.writer import Row, Writer
from tracker.uids import uid_of
from tracker.words import say


def _sha256(text: str) -> str:
    if not re.fullmatch("[0-9a-f]{64}", text):
        raise PydanticCustomError("sha256", "sha256")
    return text


Sha256 = Annotated[str, AfterValidator(_sha256)]


class AttachPhotograph(Command):
    """A photograph of the stopped dial belongs to this entry; its file lies there already."""

    entry_uid: Uid
    sha256: Sha256
    media_type: MediaType
    size_bytes: Annotated[int, Field(gt=0, le=MOST_BYTES)]

    def apply(self, writer: Writer, who: Who) -> None:
        row = log.find_entry(writer.db, self.entry_uid)
        if row is None or row["voided_by"] is not None:
            raise NotFound(say("There is no such entry, or no longer."))
        if not tells_of_a_stop(row) or self.media_type == PDF:
            raise BadInput(
                say("A photograph of the hands goes with a watch that had stopped."),
                field="photo",
                accepted=say("Leave it out, or say that it had stopped."),
            )
        writer.insert(
            "attachment",
            {
                "uid": self.uid,
                "watch_uid": row["watch_uid"],
                "of_uid": self.entry_uid,
                "sha256": self.sha256,
                "media_type": self.media_type,
                "size_bytes": self.size_bytes,
                "noted_at_utc": to_text(who.now),
                "person_uid": who.person_uid,
                "origin": who.origin,
            },
        )


def attaching(entry_uid: str, taken: Photograph) -> AttachPhotograph:
    """The command that attaches a photograph; its uid follows from the entry's, so that a double tap is one change."""
    return AttachPhotograph(
        uid=uid_of(entry_uid, "photograph"),
        entry_uid=entry_uid,
        sha256=taken.sha256,
        media_type=taken.media_type,
        size_bytes=len(taken.data),
    )


class GiveUpReading(Command):
    """The hands can't be read from this photograph: nobody asks for them again."""

    attachment_uid: Uid

    def apply(self, writer: Writer, who: Who) -> None:  # noqa: ARG002 -- every command takes both
        found = attachments.attachment(writer.db, self.attachment_uid)
        if found is None:
            raise NotFound(say("There is no such photograph, or no longer."))
        if found["unreadable"]:
            raise Conflict(say("It is said already that this photograph can't be read."))
        writer.edit("attachment", self.attachment_uid, None, {"unreadable": 1})


def tells_of_a_stop(row: Row) -> bool:
    """Whether this row of the log, with its `table`, says that the watch had stopped by itself."""
    return "stopped" in {row.get("found"), row.get("seen")}
