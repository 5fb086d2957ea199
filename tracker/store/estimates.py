"""The cache of estimates: thrown away and worked out anew whenever its key no longer fits."""

import json
from collections.abc import Collection
from typing import Any, NamedTuple

from sqlite_utils import Database

from tracker.store.rows import all_rows

Answer = dict[str, Any]


class Key(NamedTuple):
    """What an estimate is good for: one state of the log, one model, one day whose age it answers for, one threshold."""

    log_counter: int
    model_version: str
    day: str
    threshold: float


class Stored(NamedTuple):
    """The key of a cached estimate, and whether its day passes: that of a watch at rest does, that of a run does not."""

    key: Key
    at_rest: bool


def cached(db: Database) -> set[str]:
    """The watches of which something is cached, of whatever model."""
    return {uid for (uid,) in db.execute("SELECT watch_uid FROM estimate")}


def read_keys(db: Database, watch_uids: Collection[str] | None = None) -> dict[str, Stored]:
    """What is cached of these watches or of all; what does not tell whether its day passes was written by another program."""
    marks = "" if watch_uids is None else f"WHERE watch_uid IN ({', '.join('?' for _ in watch_uids)})"
    rows = all_rows(
        db,
        "SELECT watch_uid, log_counter, model_version, day, threshold, json_extract(answer, '$.at_rest') AS at_rest "  # noqa: S608 -- question marks
        f"FROM estimate {marks}",
        list(watch_uids or ()),
    )
    return {row["watch_uid"]: Stored(_key(row), bool(row["at_rest"])) for row in rows if row["at_rest"] is not None}


def read_answers(db: Database, watch_uids: Collection[str]) -> dict[str, tuple[Key, Answer]]:
    """The cached estimates of these watches, each with its key."""
    marks = ", ".join("?" for _ in watch_uids)
    rows = all_rows(
        db,
        f"SELECT watch_uid, log_counter, model_version, day, threshold, answer FROM estimate WHERE watch_uid IN ({marks})",  # noqa: S608 -- question marks
        list(watch_uids),
    )
    return {row["watch_uid"]: (_key(row), json.loads(row["answer"])) for row in rows}


def _key(row: dict[str, Any]) -> Key:
    return Key(*(row[part] for part in Key._fields))


def write_estimate(db: Database, watch_uid: str, key: Key, answer: Answer) -> None:
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
