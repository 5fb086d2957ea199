"""A row of the log's file as the command that makes its entry."""

import json
from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

from pydantic import BaseModel, ConfigDict

from tracker import uids
from tracker.commands.base import Command, EntryCommand
from tracker.commands.build import build
from tracker.commands.fields import known_zone
from tracker.commands.log import Moved
from tracker.core.watch import Watch
from tracker.core.when import NoMoment, Said, written
from tracker.csvfile.columns import ENTRIES, EntryKind, entry_columns
from tracker.csvfile.known import standing, uid_in_use
from tracker.csvfile.place import Place
from tracker.csvfile.table import Row
from tracker.errors import BadInput, BadMoment, Rejected
from tracker.nicknames import called
from tracker.store import log
from tracker.words import say

Cells = Mapping[str, str]
Found = TypeVar("Found")

_READ_APART = {"watch", "entry", "at", "zone", "replaces"}
_NO_WATCH = "00000000-0000-0000-0000-000000000000"


class _EntryWord(BaseModel):
    model_config = ConfigDict(frozen=True)

    entry: EntryKind


def log_commands(row: Row, place: Place) -> list[Command]:
    """What makes this entry; nothing if it is known already.

    Raises:
        BadInput, Rejected: the row can't be taken, or says something else than the collection.
    """
    cells = row.cells
    kind = build(_EntryWord, {name: cells[name] for name in ("entry",) if name in cells}).entry
    command = _named(_command(kind, cells, place), cells, place)
    place.check_once(command.uid, row.line)
    # A row without uid goes by what it says, so that it is known again after the owner has moved to another zone.
    names = (place.columns & set(command.payload())) - _READ_APART | {"watch_uid", "at"} if "uid" in cells else set()
    found = standing(place.db, command, names)
    if found == "differs":
        raise BadInput(
            say("An entry of this uid is in the collection already, and says something else."),
            field="uid",
            accepted=say("Correct it on the page of its watch, or take this row out."),
        )
    return [command] if found == "new" else []


def _command(kind: EntryKind, cells: Cells, place: Place) -> EntryCommand:
    problems: list[BadInput] = []
    watch = _attempt(problems, _watch, cells, place)
    said = _attempt(problems, _written, cells, place)
    own = entry_columns(kind)
    problems += [_out_of_place(kind, name) for name in cells if name not in own]
    fields: dict[str, Any] = {name: text for name, text in cells.items() if name in own - _READ_APART}
    fields["watch_uid"] = watch.uid if watch else _NO_WATCH
    fields |= _time_fields(said, cells) if said else {"at": place.now, "zone": cells.get("zone", "UTC")}
    fields["replaces"] = _replaced(cells, place)
    try:
        command = build(ENTRIES[kind][0], fields)
    except Rejected as rejected:
        raise Rejected(problems + rejected.problems) from rejected
    if problems:
        raise Rejected(problems)
    return command


def _attempt(
    problems: list[BadInput], read: Callable[[Cells, Place], Found], cells: Cells, place: Place
) -> Found | None:
    try:
        return read(cells, place)
    except BadInput as problem:
        problems.append(problem)
        return None


def _out_of_place(kind: EntryKind, column: str) -> BadInput:
    return BadInput(
        say("This says nothing of a {entry}.", entry=say(kind)), field=column, accepted=say("Leave it empty.")
    )


def _needed(cells: Cells, column: str) -> str:
    if column not in cells:
        raise BadInput(say("This is needed."), field=column)
    return cells[column]


def _watch(cells: Cells, place: Place) -> Watch:
    nickname = _needed(cells, "watch")
    found = called(place.watches, nickname)
    if len(found) != 1:
        raise BadInput(
            say("There is no watch called “{nickname}”.", nickname=nickname),
            field="watch",
            accepted=say("Register it, or import the file of watches first."),
        )
    return found[0]


def _written(cells: Cells, place: Place) -> Said:
    text, zone = _needed(cells, "at"), _zone(cells, place)
    try:
        return written(text, place.now, zone)
    except NoMoment as error:
        raise BadMoment(error.why, error.said, zone=zone.key, choices=error.choices) from error


def _zone(cells: Cells, place: Place) -> ZoneInfo:
    """The zone of the row; one that is unknown is named when the command is built."""
    try:
        return ZoneInfo(known_zone(cells["zone"])) if "zone" in cells else place.zone
    except ValueError:
        return place.zone


def _time_fields(said: Said, cells: Cells) -> dict[str, Any]:
    return {
        "at": said.at,
        "zone": cells.get("zone", said.zone_name),
        "within_min": cells.get("within_min", said.within_min),
    }


def _replaced(cells: Cells, place: Place) -> str | None:
    """The entry to take out for this one: only one that is there; an export holds none that was taken out."""
    uid = cells.get("replaces")
    if uid is None or uid in place.uids or not uids.PATTERN.fullmatch(uid):
        return uid
    row = log.find_entry(place.db, uid)
    return None if row is None or row["voided_by"] is not None else uid


def _named(command: EntryCommand, cells: Cells, place: Place) -> EntryCommand:
    """The command with the uid its row gives it, or one made from what the row says."""
    uid = command.uid
    if "uid" not in cells:
        content = command.model_dump(mode="json", exclude_defaults=True, exclude={"uid", "at", "zone", "replaces"})
        typed = (_typed_time(cells["at"], command.at), cells.get("zone", ""))
        uid = place.uid_for(type(command).__name__, json.dumps(content, sort_keys=True), *typed)
    named = command.model_copy(update={"uid": uid_in_use(place.db, uid)})
    return named.standing() if isinstance(named, Moved) and "uid" in cells else named


def _typed_time(text: str, at: datetime) -> str:
    """The moment, if its text names one by itself, else the clock time as it stands there."""
    moment = datetime.fromisoformat(text)
    return (at if moment.tzinfo else moment).isoformat()
