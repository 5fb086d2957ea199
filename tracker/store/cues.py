"""Service cues as rows: a record of what was told, when, and on what evidence; never a cache."""

import json
from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlite_utils import Database

from tracker.core.cue import Cue, Turn
from tracker.store.moments import from_text, from_text_or_none, to_text
from tracker.store.rows import all_rows, one_row
from tracker.uids import uid_of


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenCue:
    """A cue that holds, and how it was last said: the how-manieth saying of it, when, and on what facts."""

    uid: str
    watch_uid: str
    cue: Cue
    version: int
    raised_at: datetime
    ordinal: int
    said_at: datetime
    facts: dict[str, Any]


def open_cues(db: Database, watch_uids: Collection[str]) -> dict[str, OpenCue]:
    """The cues that hold, by watch. A step back is no saying of its own."""
    marks = ", ".join("?" for _ in watch_uids)
    rows = all_rows(
        db,
        "SELECT cue.*, ordinal, at_utc, facts FROM cue JOIN cue_step ON cue_uid = uid "  # noqa: S608 -- marks only
        f"WHERE cleared_utc IS NULL AND watch_uid IN ({marks}) AND ordinal = "
        "(SELECT max(ordinal) FROM cue_step WHERE cue_uid = uid AND why != 'better')",
        list(watch_uids),
    )
    return {row["watch_uid"]: _open_cue(row) for row in rows}


def _open_cue(row: dict[str, Any]) -> OpenCue:
    return OpenCue(
        uid=row["uid"],
        watch_uid=row["watch_uid"],
        cue=Cue(
            step=row["step"],
            service_at=from_text_or_none(row["service_utc"]),
            quiet_until=from_text_or_none(row["quiet_until_utc"]),
        ),
        version=row["version"],
        raised_at=from_text(row["raised_utc"]),
        ordinal=row["ordinal"],
        said_at=from_text(row["at_utc"]),
        facts=json.loads(row["facts"]),
    )


def write_turn(
    db: Database, watch_uid: str, held: OpenCue | None, turn: Turn, *, now: datetime, facts: dict[str, Any]
) -> None:
    """Keep what happened to the cue of a watch, and on what facts; `held` is the one that holds, if one does."""
    if turn.cue is None:
        if held is not None:
            _clear(db, held.uid, turn, now)
        return
    uid = _raise(db, watch_uid, turn.cue, now) if held is None else held.uid
    if held is not None:
        db.execute(
            "UPDATE cue SET step = ?, quiet_until_utc = ?, version = version + 1 WHERE uid = ?",
            [turn.cue.step, _text(turn.cue.quiet_until), uid],
        )
    db.execute(
        "INSERT INTO cue_step (cue_uid, ordinal, why, step, at_utc, facts) "
        "SELECT ?, count(*) + 1, ?, ?, ?, ? FROM cue_step WHERE cue_uid = ?",
        [uid, turn.why, turn.cue.step, to_text(now), json.dumps(facts, ensure_ascii=False), uid],
    )


def _raise(db: Database, watch_uid: str, cue: Cue, now: datetime) -> str:
    before = one_row(db, "SELECT count(*) AS n FROM cue WHERE watch_uid = ?", [watch_uid])
    uid = uid_of("cue", watch_uid, str(before["n"] if before else 0))
    db.execute(
        "INSERT INTO cue (uid, watch_uid, step, service_utc, raised_utc) VALUES (?, ?, ?, ?, ?)",
        [uid, watch_uid, cue.step, _text(cue.service_at), to_text(now)],
    )
    return uid


def _clear(db: Database, uid: str, turn: Turn, now: datetime) -> None:
    db.execute(
        "UPDATE cue SET cleared_utc = ?, cleared_by = ?, version = version + 1 WHERE uid = ?",
        [to_text(now), turn.why.removeprefix("cleared by "), uid],
    )


def _text(moment: datetime | None) -> str | None:
    return None if moment is None else to_text(moment)
