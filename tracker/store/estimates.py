"""The cache of estimates: thrown away and worked out anew whenever its key no longer fits."""

import json
from typing import Any, NamedTuple

from sqlite_utils import Database

from tracker.store.rows import all_rows


class Key(NamedTuple):
    """What an estimate is good for: one state of the log, one model, one day whose age it answers for, one threshold."""

    log_counter: int
    model_version: str
    day: str
    threshold: float


def read_estimates(db: Database) -> dict[str, tuple[Key, dict[str, Any]]]:
    """Every cached estimate by watch, with its key."""
    rows = all_rows(db, "SELECT watch_uid, log_counter, model_version, day, threshold, answer FROM estimate")
    return {row["watch_uid"]: (Key(*(row[part] for part in Key._fields)), json.loads(row["answer"])) for row in rows}


def write_estimate(db: Database, watch_uid: str, key: Key, answer: dict[str, Any]) -> None:
    """Keep the estimate of a watch in place of its former one."""
    db.execute(
        "INSERT OR REPLACE INTO estimate (watch_uid, log_counter, model_version, day, threshold, answer) "
        "VALUES (?, ?, ?, ?, ?, ?)",
        [watch_uid, *key, json.dumps(answer)],
    )


def forget_estimate(db: Database, watch_uid: str) -> None:
    """Drop the estimate of a watch that is no more."""
    db.execute("DELETE FROM estimate WHERE watch_uid = ?", [watch_uid])


def forget_estimates(db: Database) -> None:
    """Empty the cache."""
    db.execute("DELETE FROM estimate")
