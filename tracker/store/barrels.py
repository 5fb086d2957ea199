"""What is kept of barrels, as rows."""

from dataclasses import dataclass, fields
from typing import Any

from sqlite_utils import Database

from tracker.core.barrel.kept import Kept
from tracker.store.rows import all_rows, one_row

NAMES = tuple(field.name for field in fields(Kept))


@dataclass(frozen=True, slots=True)
class KeptRow:
    """A barrel as kept, with its uid, its watch, and the version that an edit names."""

    uid: str
    watch_uid: str
    version: int
    kept: Kept


def barrel_of_watch(db: Database, watch_uid: str) -> KeptRow | None:
    """The barrel kept of a watch."""
    row = one_row(db, "SELECT * FROM barrel WHERE watch_uid = ? AND voided_by IS NULL", [watch_uid])
    return None if row is None else _kept(row)


def kept_barrels(db: Database) -> dict[str, KeptRow]:
    """Every barrel kept of a watch of the register, by watch."""
    rows = all_rows(
        db,
        "SELECT barrel.* FROM barrel JOIN watch ON watch.uid = barrel.watch_uid "
        "WHERE barrel.voided_by IS NULL AND watch.voided_by IS NULL ORDER BY watch.nickname COLLATE NOCASE",
    )
    return {row["watch_uid"]: _kept(row) for row in rows}


def any_barrel(db: Database) -> bool:
    """Whether a barrel was ever kept and still is."""
    return one_row(db, "SELECT 1 FROM barrel WHERE voided_by IS NULL LIMIT 1") is not None


def _kept(row: dict[str, Any]) -> KeptRow:
    return KeptRow(row["uid"], row["watch_uid"], row["version"], Kept(**{name: row[name] for name in NAMES}))
