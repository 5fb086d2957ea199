"""Commands as requests: what each is called in an address, what its body holds, what stands in headers instead."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from tracker.commands.base import Command, EntryCommand
from tracker.commands.build import build
from tracker.commands.door import COMMANDS
from tracker.commands.permitted import HELPERS_MAY, NO_PROGRAM_MAY
from tracker.errors import BadInput, GoingError, Rejected, Stale
from tracker.words import say

KEY_HEADER, VERSION_HEADER = "Idempotency-Key", "If-Match"
IN_HEADERS = {"uid": KEY_HEADER, "version": VERSION_HEADER}
"""Fields of commands that are no part of a body, and the header that carries each."""
_TAG = re.compile(r'"(\d{1,9})"')


class Unconditional(GoingError):
    """An edit that does not say which version it edits (RFC 6585, section 3)."""

    status = 428


@dataclass(frozen=True, slots=True)
class Asked:
    """A command that programs may give."""

    name: str
    command: type[Command]

    @property
    def path(self) -> str:
        """What its address ends in: `log-wind` for LogWind."""
        return re.sub(r"(?<!^)(?=[A-Z])", "-", self.name).lower()

    @property
    def edits(self) -> bool:
        """Whether it changes a row that carries a version."""
        return "version" in self.command.model_fields

    @property
    def may_begin(self) -> bool:
        """Whether it makes that row where there is none yet, and then sees no version."""
        return self.name == "KeepBarrel"

    @property
    def for_helpers(self) -> bool:
        """Whether a helper may give it, and a token for winds and sightings."""
        return self.name in HELPERS_MAY

    @property
    def zone_is_owners(self) -> bool:
        """Whether the time zone may be left out: it is the owner's then."""
        return issubclass(self.command, EntryCommand)


OFFERED = {
    asked.path: asked
    for asked in (Asked(name, command) for name, command in COMMANDS.items() if name not in NO_PROGRAM_MAY)
}
"""Every command that programs may give, by the end of its address."""


def command_of(asked: Asked, body: Mapping[str, Any], *, key: str, tag: str | None, zone: str) -> Command:
    """The command that a request gives.

    Args:
        asked: which.
        body: its fields.
        key: the Idempotency-Key, which becomes its uid.
        tag: the If-Match header, None without one.
        zone: the owner's time zone.

    Raises:
        Rejected: what can't be taken, by field.
        Unconditional, Stale: an edit that names no version, or none that there can be.
    """
    misplaced = [_misplaced(name) for name in IN_HEADERS if name in body and name in asked.command.model_fields]
    if misplaced:
        raise Rejected(misplaced)
    headers: dict[str, object] = {"uid": key.strip('"')}
    if asked.edits:
        headers["version"] = _version(tag, needed=not asked.may_begin)
    defaults = {"zone": zone} if asked.zone_is_owners else {}
    return build(asked.command, {**defaults, **body, **headers})


def _misplaced(name: str) -> BadInput:
    return BadInput(
        say("This is no part of the body."), field=name, accepted=say("Send it as {header}.", header=IN_HEADERS[name])
    )


def unconditional() -> Unconditional:
    """What is said of an edit that names no version."""
    said = say(
        "It is not said which version this changes; nothing was saved. Send the ETag it was read under as If-Match."
    )
    return Unconditional(said, field="version")


def _version(tag: str | None, *, needed: bool) -> int | None:
    if tag is None:
        if needed:
            raise unconditional()
        return None
    match = _TAG.fullmatch(tag.strip())
    if match is None:
        raise Stale(
            say('This If-Match is no version; nothing was saved. Send the ETag it was read under, such as “"3"”.'),
            field="version",
        )
    return int(match[1])
