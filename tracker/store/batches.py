"""The command log read backwards, batch by batch: what was changed together, and what stands in the way of taking it back."""

import json
from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlite_utils import Database

from tracker.store.moments import from_text
from tracker.store.rows import all_rows, one_row
from tracker.store.writer import LOG_TABLES

READ = 7
"""So many commands of a batch are read out; beyond them they are counted."""
_ROWS_OF_A_WATCH = " UNION ".join(
    f"SELECT uid FROM {table} WHERE watch_uid = :watch"  # noqa: S608 -- names are ours
    for table in (
        "winding", "sighting", "wear", "on_winder", "service", "timing_reading", "bench_sign", "attachment", "portrait",
        "sensor_watch", "bench_test",
    )
)  # fmt: skip
POINTERS = {
    "entry_uid": ("VoidEntry", "AttachPhotograph"),
    "attachment_uid": ("GiveUpReading", "TakeOutFile"),
    "portrait_uid": ("ShowPortraitFirst", "TakeOutPortrait"),
    "of_uid": ("AttachFile",),
    "test_uid": ("EndTest",),
}
"""By these names commands of these kinds tell of a row instead of a watch."""
_POINTS_AT = " OR ".join(
    f"(kind IN {kinds!r} AND json_extract(payload, '$.{name}') IN ({_ROWS_OF_A_WATCH}))".replace(",)", ")")
    for name, kinds in POINTERS.items()
)
_OF_WATCH = f"(uid = :watch OR instr(payload, :watch) OR {_POINTS_AT})"


@dataclass(frozen=True, slots=True)
class Batch:
    """Commands that were given together.

    `first` and `last` are their numbers, `kinds` how many of each kind, `commands` the newest of them with their payload
    decoded; `undone_by` and `undone_at` tell who took them back, if anyone did.
    """

    uid: str
    first: int
    last: int
    at: datetime
    person_uid: str
    origin: str
    kinds: Counter[str]
    commands: tuple[dict[str, Any], ...]
    undone_by: str | None
    undone_at: datetime | None


def newest(
    db: Database, at_most: int, *, before: int | None = None, watch_uid: str = "", person_uid: str = ""
) -> list[Batch]:
    """The newest batches, those alone that come before this number, touch this watch, were given by this person."""
    found, number = list[Batch](), before
    while len(found) < at_most:
        head = _head(db, number, watch_uid, person_uid)
        if head is None:
            break
        found.append(_batch(db, head))
        number = found[-1].first
    return found


def _head(db: Database, before: int | None, watch_uid: str, person_uid: str) -> dict[str, Any] | None:
    asked = ["number < :before"] if before is not None else []
    asked += ["person_uid = :person"] if person_uid else []
    asked += [_OF_WATCH] if watch_uid else []
    where = f"WHERE {' AND '.join(asked)}" if asked else ""
    return one_row(
        db,
        f"SELECT * FROM command_log {where} ORDER BY number DESC LIMIT 1",  # noqa: S608 -- see above
        {"before": before, "watch": watch_uid, "person": person_uid},
    )


def _batch(db: Database, head: dict[str, Any]) -> Batch:
    rows = all_rows(db, "SELECT * FROM command_log WHERE batch = ? ORDER BY number DESC LIMIT ?", [head["batch"], READ])
    counted = all_rows(
        db, "SELECT kind, count(*) AS n, min(number) AS first FROM command_log WHERE batch = ? GROUP BY kind", [head["batch"]]
    )  # fmt: skip
    undo = one_row(db, "SELECT person_uid, at_utc FROM command_log WHERE uid = ?", [head["undone_by"]])
    return Batch(
        uid=head["batch"],
        first=min(row["first"] for row in counted),
        last=rows[0]["number"],
        at=from_text(head["at_utc"]),
        person_uid=head["person_uid"],
        origin=head["origin"],
        kinds=Counter({row["kind"]: row["n"] for row in counted}),
        commands=tuple({**row, "payload": json.loads(row["payload"]), "before": json.loads(row["before"])} for row in rows),
        undone_by=None if undo is None else undo["person_uid"],
        undone_at=None if undo is None else from_text(undo["at_utc"]),
    )  # fmt: skip


def taken_back_by(db: Database, undo_uid: str) -> Batch | None:
    """What this undo took back."""
    head = one_row(db, "SELECT * FROM command_log WHERE undone_by = ? LIMIT 1", [undo_uid])
    return None if head is None else _batch(db, head)


def built_upon(db: Database, batches: Sequence[Batch]) -> set[str]:
    """Of these batches those that a later change which still stands has built upon: it wrote a row that they wrote.

    The same question as `command_log.changed_since`, of a page of them at once. A command that only added rows builds on none.
    """
    if not batches:
        return set()
    last = {batch.uid: batch.last for batch in batches}
    marks = ", ".join("?" for _ in last)
    own = all_rows(db, f"SELECT batch, before FROM command_log WHERE batch IN ({marks})", list(last))  # noqa: S608 -- marks alone
    later = all_rows(
        db,
        "SELECT number, before FROM command_log WHERE number > ? AND undone_by IS NULL AND kind != 'Undo' "
        """AND instr(before, '"before": {') ORDER BY number""",
        [min(last.values())],
    )
    written_last = {place: row["number"] for row in later for place in _places(row)}
    return {row["batch"] for row in own for place in _places(row) if written_last.get(place, 0) > last[row["batch"]]}


def _places(row: dict[str, Any]) -> list[tuple[str, str]]:
    """Which rows a command wrote, by table and key."""
    return [(image["table"], image["key"]) for image in json.loads(row["before"])]


def has_entries_beside(db: Database, watch_uid: str, own: Collection[str]) -> bool:
    """Whether anything is noted of this watch but these entries."""
    marks = ", ".join("?" for _ in own)
    return any(
        one_row(
            db,
            f"SELECT 1 FROM {table} WHERE voided_by IS NULL AND watch_uid = ? AND uid NOT IN ({marks}) LIMIT 1",  # noqa: S608 -- names are ours
            [watch_uid, *own],
        )
        for table in LOG_TABLES
    )


def names_of_people(db: Database) -> dict[str, str]:
    """Everyone who ever was there, those removed too, by uid."""
    return {row["uid"]: row["name"] for row in all_rows(db, "SELECT uid, name FROM person")}
