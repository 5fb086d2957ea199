"""Reading rows as dictionaries."""

from collections.abc import Sequence
from typing import Any

from sqlite_utils import Database


def all_rows(db: Database, sql: str, params: Sequence[Any] | dict[str, Any] = ()) -> list[dict[str, Any]]:
    """Every row of a query."""
    cursor = db.execute(sql, params)
    names = [column[0] for column in cursor.description]
    return [dict(zip(names, row, strict=True)) for row in cursor.fetchall()]


def one_row(db: Database, sql: str, params: Sequence[Any] | dict[str, Any] = ()) -> dict[str, Any] | None:
    """The first row of a query, if any."""
    rows = all_rows(db, sql, params)
    return rows[0] if rows else None
