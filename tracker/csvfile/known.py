"""What the collection knows already of the uids in a file."""

import json
from collections.abc import Collection
from typing import Any, Literal

from sqlite_utils import Database

from tracker.commands.base import Command
from tracker.store import command_log
from tracker.uids import uid_of

Standing = Literal["new", "known", "differs"]


def uid_in_use(db: Database, uid: str) -> str:
    """The uid itself, or the next one derived from it that was not undone.

    Whoever undid an import and gives the file again wants its rows back; their rows of old keep their uids.
    """
    while (record := command_log.find_command(db, uid)) is not None and record["undone_by"] is not None:
        uid = uid_of("again", uid)
    return uid


def standing(db: Database, command: Command, names: Collection[str]) -> Standing:
    """Whether the collection was ever told this command, judged by the fields of these names."""
    record = command_log.find_command(db, command.uid)
    if record is None:
        return "new"
    told: dict[str, Any] = json.loads(record["payload"])
    payload = command.payload()
    unsaid = {  # for fields younger than it
        name: list(field.default) if isinstance(field.default, tuple) else field.default
        for name, field in type(command).model_fields.items()
    }
    same = all(told.get(name, unsaid[name]) == payload[name] for name in names)
    return "known" if same and record["kind"] == type(command).__name__ else "differs"
