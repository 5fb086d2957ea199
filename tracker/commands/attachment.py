"""Files that go with a service or a watch: attached, and taken out again."""

from typing import Annotated

from pydantic import Field

from tracker.commands.base import Command, Who
from tracker.commands.fields import ShortText, Uid
from tracker.commands.photograph import Sha256
from tracker.errors import BadInput, NotFound
from tracker.photofile import MOST_BYTES, MediaType, Photograph
from tracker.store import attachments, log, register
from tracker.store.moments import to_text
from tracker.store.writer import Writer
from tracker.uids import uid_of
from tracker.words import say


class AttachFile(Command):
    """A picture or PDF goes with this service or watch; the file lies there already."""

    of_uid: Uid
    sha256: Sha256
    media_type: MediaType
    size_bytes: Annotated[int, Field(gt=0, le=MOST_BYTES)]
    title: ShortText = ""

    def apply(self, writer: Writer, who: Who) -> None:
        writer.insert(
            "attachment",
            {
                "uid": self.uid,
                "watch_uid": self._watch_uid(writer),
                **self.model_dump(include={"of_uid", "sha256", "media_type", "size_bytes", "title"}),
                "noted_at_utc": to_text(who.now),
                "person_uid": who.person_uid,
                "origin": who.origin,
            },
        )

    def _watch_uid(self, writer: Writer) -> str:
        if register.watch(writer.db, self.of_uid) is not None:
            return self.of_uid
        row = log.find_entry(writer.db, self.of_uid)
        if row is None or row["voided_by"] is not None:
            raise NotFound(say("There is no such service or watch, or no longer."))
        if row["table"] != "service":
            raise BadInput(
                say("A file goes with a service or with the watch itself."),
                field="file",
                accepted=say("A photograph of stopped hands goes with the entry that tells of the stop."),
            )
        return str(row["watch_uid"])


class TakeOutFile(Command):
    """The file goes with nothing any more; on the disk it stays, so that undo brings it back."""

    attachment_uid: Uid

    def apply(self, writer: Writer, who: Who) -> None:  # noqa: ARG002 -- every command takes both
        if attachments.attachment(writer.db, self.attachment_uid) is None:
            raise NotFound(say("There is no such file, or no longer."))
        writer.void("attachment", self.attachment_uid)


def attaching_to(of_uid: str, taken: Photograph, title: str, key: str) -> AttachFile:
    """The command that attaches a file; its uid follows from the key of its form, so that a double tap is one change."""
    return AttachFile(
        uid=uid_of(key, "file"),
        of_uid=of_uid,
        sha256=taken.sha256,
        media_type=taken.media_type,
        size_bytes=len(taken.data),
        title=title,
    )
