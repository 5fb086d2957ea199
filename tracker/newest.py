"""A person's newest change, told so that undo says what it would take back."""

import json
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from sqlite_utils import Database

from tracker import phrases
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
    "AttachPhotograph": "photographs: {n}",
    "GiveUpReading": "photographs that can't be read: {n}",
    "VoidEntry": "entries taken out: {n}",
    "ChangeSettings": "settings changed: {n}",
    "AcknowledgeCue": "cues put off: {n}",
}
NAMED = 6


@dataclass(frozen=True, slots=True)
class Change:
    """One batch of commands, and what it did, of which watches, and when, in words."""

    batch: str
    told: str


def newest_change(db: Database, person_uid: str, now: datetime, zone: ZoneInfo) -> Change | None:
    """The batch that this person's undo would take back; None where there is nothing to undo."""
    batch = command_log.newest_batch(db, person_uid)
    if batch is None:
        return None
    counts = command_log.batch_counts(db, batch, person_uid)
    counted = ", ".join(say(KINDS[kind], n=counts[kind]) for kind in KINDS if kind in counts)
    rows = command_log.batch_payloads(db, batch, person_uid, NAMED + 1)
    names = _names(db, rows)
    of = f" ({', '.join(names[:NAMED])}{'…' if len(rows) > NAMED else ''})" if names else ""
    given = phrases.when(datetime.fromisoformat(rows[0]["at_utc"]), now, zone)
    return Change(batch, say("{counted}{of}, given {when}", counted=counted, of=of, when=given))


def _names(db: Database, rows: list[dict[str, str]]) -> list[str]:
    uids = {json.loads(row["payload"]).get("watch_uid") or row["uid"] for row in rows}
    watches = [register.watch(db, uid) for uid in uids]
    return sorted(watch.nickname for watch in watches if watch is not None)
