"""Taking back the newest change, and saying which that was."""

import json
from argparse import Namespace
from collections.abc import Sequence
from datetime import datetime
from typing import Any

from sqlite_utils import Database

from tracker import phrases
from tracker.cli.opened import Opened, opened, tell
from tracker.commands.door import submit
from tracker.commands.undo import Undo
from tracker.store import command_log, register
from tracker.words import say

KINDS = {
    "RegisterWatch": "watches added: {n}",
    "EditWatch": "watches edited: {n}",
    "ArchiveWatch": "watches put away: {n}",
    "BringBackWatch": "watches brought back: {n}",
    "LogWind": "windings: {n}",
    "LogSighting": "sightings: {n}",
    "LogWear": "wear: {n}",
    "LogService": "services: {n}",
    "VoidEntry": "entries taken out: {n}",
    "ChangeSettings": "settings changed: {n}",
}
NAMED = 6


def undo(args: Namespace) -> None:
    """Take back the owner's newest change."""
    with opened(args) as collection:
        db = collection.store.reading()
        batch = command_log.newest_batch(db, collection.who.person_uid)
        rows = command_log.batch_rows(db, batch, collection.who.person_uid) if batch else []
        told = _told(db, rows, collection) if rows else ""
        submit(collection.store, [Undo(batch=batch)], collection.who)
        tell(say("Taken back: {told}.", told=told))


def _told(db: Database, rows: Sequence[dict[str, Any]], collection: Opened) -> str:
    """What the commands of one batch did, of which watches, and when they were given."""
    kinds = [row["kind"] for row in rows]
    counted = [say(KINDS[kind], n=kinds.count(kind)) for kind in KINDS if kind in kinds]
    names = _names(db, rows)
    of = f" ({', '.join(names[:NAMED])}{'…' if len(names) > NAMED else ''})" if names else ""
    given = phrases.when(datetime.fromisoformat(rows[0]["at_utc"]), collection.now, collection.zone)
    return say("{counted}{of}, given {when}", counted=", ".join(counted), of=of, when=given)


def _names(db: Database, rows: Sequence[dict[str, Any]]) -> list[str]:
    uids = {json.loads(row["payload"]).get("watch_uid") or row["uid"] for row in rows}
    watches = [register.watch(db, uid) for uid in uids]
    return sorted(watch.nickname for watch in watches if watch is not None)
