"""What every collection holds before its first command: one owner, and a row for each preference."""

import json
from collections.abc import Mapping
from datetime import datetime
from typing import Any

from sqlite_utils import Database

from tracker.store.moments import to_text
from tracker.store.register import owner_uid
from tracker.uids import new_uid


def begin(db: Database, preferences: Mapping[str, Any], now: datetime) -> None:
    """Add the owner and the preferences that have no row yet; what is there stays as it is."""
    if owner_uid(db) is None:
        db.execute(
            "INSERT INTO person (uid, name, role, added_utc) VALUES (?, 'owner', 'owner', ?)",
            [new_uid(now), to_text(now)],
        )
    for name, value in preferences.items():
        db.execute("INSERT OR IGNORE INTO setting (name, value) VALUES (?, ?)", [name, json.dumps(value)])
