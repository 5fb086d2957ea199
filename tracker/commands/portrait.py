"""Photographs of a watch itself: added, chosen to be shown first, taken out."""

from typing import Annotated, Any

from pydantic import Field

from tracker.commands.base import Command, Who
from tracker.commands.fields import Uid
from tracker.commands.photograph import Sha256
from tracker.errors import Conflict, NotFound
from tracker.photofile import MOST_BYTES, Portrait
from tracker.store import portraits, register
from tracker.store.moments import to_text
from tracker.store.writer import Writer
from tracker.uids import uid_of
from tracker.words import say


class AddPortrait(Command):
    """A photograph shows this watch; its files lie there already."""

    watch_uid: Uid
    sha256: Sha256
    small_sha256: Sha256
    size_bytes: Annotated[int, Field(gt=0, le=MOST_BYTES)]

    def apply(self, writer: Writer, who: Who) -> None:
        if register.watch(writer.db, self.watch_uid) is None:
            raise NotFound(say("There is no such watch, or no longer."))
        writer.insert(
            "portrait",
            {
                **self.model_dump(include={"uid", "watch_uid", "sha256", "small_sha256", "size_bytes"}),
                "noted_at_utc": to_text(who.now),
                "person_uid": who.person_uid,
                "origin": who.origin,
            },
        )


class ShowPortraitFirst(Command):
    """Of a watch's photographs this one stands beside its name."""

    portrait_uid: Uid

    def apply(self, writer: Writer, who: Who) -> None:  # noqa: ARG002 -- every command takes both
        found = _found(writer, self.portrait_uid)
        if portraits.of_watch(writer.db, found["watch_uid"])[0]["uid"] == self.portrait_uid:
            raise Conflict(say("It is shown first already."))
        writer.edit(
            "portrait",
            self.portrait_uid,
            None,
            {"chosen": portraits.most_chosen(writer.db, found["watch_uid"]) + 1},
        )


class TakeOutPortrait(Command):
    """The photograph is shown no more; on the disk it stays, so that undo brings it back."""

    portrait_uid: Uid

    def apply(self, writer: Writer, who: Who) -> None:  # noqa: ARG002 -- every command takes both
        _found(writer, self.portrait_uid)
        writer.void("portrait", self.portrait_uid)


def _found(writer: Writer, uid: str) -> dict[str, Any]:
    found = portraits.portrait(writer.db, uid)
    if found is None:
        raise NotFound(say("There is no such photograph, or no longer."))
    return found


def adding(watch_uid: str, taken: Portrait, key: str) -> AddPortrait:
    """The command that adds a photograph; its uid follows from the key of its form, so that a double tap is one change."""
    return AddPortrait(
        uid=uid_of(key, "portrait"),
        watch_uid=watch_uid,
        sha256=taken.large.sha256,
        small_sha256=taken.small.sha256,
        size_bytes=len(taken.large.data),
    )
