"""The owner's preferences as rows: one for each name, its value as JSON."""

import json
from typing import Any

from sqlite_utils import Database

from tracker.store.rows import all_rows


def read_settings(db: Database) -> tuple[dict[str, Any], int]:
    """The values that were ever set, by name, and the sum of their versions (what an edit says it saw)."""
    rows = all_rows(db, "SELECT name, value, version FROM setting")
    values = {row["name"]: json.loads(row["value"]) for row in rows}
    return values, sum(row["version"] for row in rows)
