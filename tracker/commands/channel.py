"""Adding, pausing and removing channels. A command names an address by the uid it was laid down under, never in clear."""

from typing import Annotated

from pydantic import StringConstraints

from tracker.commands.base import Command, Who
from tracker.commands.fields import Uid
from tracker.errors import BadInput, NotFound
from tracker.store import channels as shelf
from tracker.store.moments import to_text
from tracker.store.writer import Writer
from tracker.words import say

ChannelName = Annotated[
    str, StringConstraints(strip_whitespace=True, min_length=1, max_length=40, pattern=r"^[^\x00-\x1f]+$")
]


class AddChannel(Command):
    """A channel to remind by; the command's uid becomes the channel's."""

    name: ChannelName
    address_uid: Uid

    def apply(self, writer: Writer, who: Who) -> None:
        if shelf.channel_named(writer.db, self.name) is not None:
            raise BadInput(
                say("There is already a channel called “{name}”.", name=self.name),
                field="name",
                accepted=say("Choose another name."),
            )
        if not shelf.holds_address(writer.db, self.address_uid):
            raise NotFound(say("There is no such address, or no longer."))
        row = {"uid": self.uid, "name": self.name, "address_uid": self.address_uid, "added_utc": to_text(who.now)}
        writer.insert("channel", row)


class OfChannel(Command):
    """A command about one channel, in the version its sender saw."""

    channel_uid: Uid
    version: int | None = None

    def edit(self, writer: Writer, columns: dict[str, object]) -> None:
        """Change these columns of the channel."""
        if shelf.channel(writer.db, self.channel_uid) is None:
            raise NotFound(say("There is no such channel, or no longer."))
        writer.edit("channel", self.channel_uid, self.version, columns)


class PauseChannel(OfChannel):
    """Nothing is sent on the channel while it is paused; what is still true when it goes on is sent then."""

    paused: bool

    def apply(self, writer: Writer, who: Who) -> None:  # noqa: ARG002 -- every command takes both
        self.edit(writer, {"paused": int(self.paused)})


class RemoveChannel(OfChannel):
    """The channel is used no longer, and its address is forgotten a day later."""

    def apply(self, writer: Writer, who: Who) -> None:
        self.edit(writer, {"removed_utc": to_text(who.now)})
