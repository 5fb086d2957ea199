"""The collection as a CSV file (RFC 4180: commas, CRLF; UTF-8)."""

import csv
import io
from collections.abc import Iterator
from typing import Any
from zoneinfo import ZoneInfo

from sqlite_utils import Database

from tracker.core.part import line_of
from tracker.csvfile.cells import to_cell
from tracker.csvfile.columns import ENTRIES, PRIVATE, Kind, columns
from tracker.store import log, register, services
from tracker.store.moments import from_text

_FLAGS = ("date_set", "nothing_between", "side_spring_used")
_ENTRY_OF_TABLE = {table: entry for entry, (_, table) in ENTRIES.items()}


def write_csv(db: Database, kind: Kind, *, with_private: bool = False) -> str:
    """The text of the file.

    Args:
        db: the collection.
        kind: the watches, those put away included, or every entry of their log that was not taken out.
        with_private: whether value and serial are written too.
    """
    names = [column.name for column in columns(kind) if with_private or kind == "log" or column.name not in PRIVATE]
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(names)
    for values in _watches(db) if kind == "watches" else _log(db):
        writer.writerow([to_cell(values.get(name)) for name in names])
    return text.getvalue()


def _watches(db: Database) -> Iterator[dict[str, Any]]:
    for watch in [*register.watches(db), *register.watches(db, archived=True)]:
        values = {column.name: getattr(watch, column.name, None) for column in columns("watches")}
        yield values | {"archived": watch.archived_at is not None}


def _log(db: Database) -> Iterator[dict[str, Any]]:
    parts = services.parts(db)
    for row in log.all_entry_rows(db):
        yield row | {
            "parts": "\n".join(line_of(part) for part in parts.get(row["uid"], ())),
            "watch": row["nickname"],
            "entry": _ENTRY_OF_TABLE[row["table"]],
            "at": from_text(row["at_utc"]).astimezone(ZoneInfo(row["zone"])).isoformat(),
            **{flag: bool(row[flag]) for flag in _FLAGS if flag in row},
        }
