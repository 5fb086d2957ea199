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
_POINTS_AT = ", ".join(
    f"json_extract(payload, '$.{name}')"
    for name in ("entry_uid", "attachment_uid", "portrait_uid", "of_uid", "test_uid")
)
"""By these names a command tells of a row instead of a watch."""
_OF_WATCH = (
    "(uid = :watch OR json_extract(payload, '$.watch_uid') = :watch OR json_extract(payload, '$.of_uid') = :watch "
    f"OR coalesce({_POINTS_AT}) IN ({_ROWS_OF_A_WATCH}))"
)


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

    The same question as `command_log.changed_since`, of a page of them at once.
    """
    if not batches:
        return set()
    oldest = min(batch.first for batch in batches)
    last = {batch.uid: batch.last for batch in batches}
    written, later = dict[tuple[str, str], list[str]](), dict[tuple[str, str], int]()
    for row in all_rows(
        db,
        "SELECT number, batch, before FROM command_log WHERE number >= ? AND undone_by IS NULL AND kind != 'Undo'",
        [oldest],
    ):
        for image in json.loads(row["before"]):
            place = image["table"], image["key"]
            later[place] = row["number"]
            if row["batch"] in last:
                written.setdefault(place, []).append(row["batch"])
    return {uid for place, uids in written.items() for uid in uids if later[place] > last[uid]}


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
