"""What every command has: a uid, a payload, a way to apply itself."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from tracker.commands.fields import Moment, Text, Uid, WithinMin, Zone
from tracker.store.writer import Writer
from tracker.uids import new_uid

Origin = Literal["page", "message", "program", "command line", "file", "example"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Who:
    """Who gives a command, when, and from where. `zone` is the time zone of that moment.

    `as_helper`: whatever the person may, no more than a helper may; so a program that is let in for winds and sightings.
    """

    person_uid: str
    origin: Origin
    now: datetime
    zone: str
    as_helper: bool = False


class Command(BaseModel):
    """One change. The same uid twice is one change."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    uid: Uid = Field(default_factory=new_uid)

    def apply(self, writer: Writer, who: Who) -> None:
        """Write what the command says.

        Raises:
            BadInput, Conflict, NotFound: it can't be done; nothing is kept.
        """
        raise NotImplementedError

    def payload(self) -> dict[str, Any]:
        """The command as JSON values, for the log."""
        return self.model_dump(mode="json")


class EntryCommand(Command):
    """A row for the log of one watch; its uid is the row's."""

    watch_uid: Uid
    at: Moment
    zone: Zone
    within_min: WithinMin = 0.0
    note: Text = ""
    replaces: Uid | None = None
