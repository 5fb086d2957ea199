"""A row of the file of watches as commands."""

import json

from pydantic import BaseModel, ConfigDict

from tracker.commands.base import Command
from tracker.commands.build import build
from tracker.commands.register import FIELD_NAMES, ArchiveWatch, RegisterWatch
from tracker.core.watch import Watch
from tracker.csvfile.known import standing, uid_in_use
from tracker.csvfile.place import Place
from tracker.csvfile.table import Row
from tracker.errors import BadInput
from tracker.store import command_log, register
from tracker.uids import uid_of
from tracker.words import say


class _PutAway(BaseModel):
    model_config = ConfigDict(frozen=True)

    archived: bool = False


def watch_commands(row: Row, place: Place) -> list[Command]:
    """What registers this watch, and puts it away if the row says so; nothing if it is known already.

    Raises:
        BadInput, Rejected: the row can't be taken, or says something else than the collection.
    """
    cells = dict(row.cells)
    archived = build(_PutAway, {"archived": cells.pop("archived", "no")}).archived
    watch = _named(build(RegisterWatch, cells), place, given="uid" in cells)
    place.check_once(watch.uid, row.line)
    archive = ArchiveWatch(uid=uid_of("put away", watch.uid), watch_uid=watch.uid)
    if command_log.find_command(place.db, watch.uid) is None:
        return [watch, archive] if archived else [watch]
    if not _is_known(watch, archive, place, archived=archived):
        raise BadInput(
            say("{nickname} is in the collection already, and described differently.", nickname=watch.nickname),
            field="uid",
            accepted=say("Edit it on its page, or take this row out."),
        )
    return []


def _named(command: RegisterWatch, place: Place, *, given: bool) -> RegisterWatch:
    """The command with the uid its row gives it, or one made from what the row says."""
    uid = command.uid
    if not given:
        content = command.model_dump(mode="json", exclude_defaults=True, exclude={"uid"})
        uid = place.uid_for("watch", json.dumps(content, sort_keys=True))
    return command.model_copy(update={"uid": uid_in_use(place.db, uid)})


def _is_known(told: RegisterWatch, archive: ArchiveWatch, place: Place, *, archived: bool) -> bool:
    """Whether the row says what the collection says now, or what it was first told (an old file given again)."""
    names = place.columns & set(FIELD_NAMES)
    there = register.watch(place.db, told.uid)
    asked = "archived" in place.columns
    if there is not None and _same(told, there, names) and (not asked or archived == (there.archived_at is not None)):
        return True
    first_archived = command_log.find_command(place.db, archive.uid) is not None
    return standing(place.db, told, names) == "known" and (not asked or archived == first_archived)


def _same(told: RegisterWatch, there: Watch, names: frozenset[str]) -> bool:
    return all(getattr(told, name) == getattr(there, name) for name in names)
