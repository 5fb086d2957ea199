"""Writing rows so that each write can be taken back: every one leaves an image of what stood before."""

import json
from collections.abc import Mapping
from typing import Any

from sqlite_utils import Database

from tracker.errors import Conflict, NotFound, Stale
from tracker.store.register import watch_named
from tracker.words import say

Row = dict[str, Any]
Image = dict[str, Any]

LOG_TABLES = ("winding", "sighting", "wear", "on_winder", "service", "timing_reading", "bench_sign")
_KEY = {"setting": "name"}


class Writer:
    """The writes of one command inside one change.

    `images` lists them, newest last, as what undo needs; `touched` the watches whose figures they may move;
    `preferences_changed` tells that every watch's may. `beside` are the watches whose cue was answered, round chosen or test begun.
    """

    def __init__(self, db: Database, command_uid: str) -> None:
        self.db = db
        self.command_uid = command_uid
        self.images: list[Image] = []
        self.touched: set[str] = set()
        self.beside: set[str] = set()
        self.preferences_changed = False

    def insert(self, table: str, row: Mapping[str, Any]) -> None:
        """Add a row."""
        marks = ", ".join("?" for _ in row)
        self.db.execute(f"INSERT INTO {table} ({', '.join(row)}) VALUES ({marks})", list(row.values()))  # noqa: S608 -- names are ours
        self.images.append({"table": table, "key": row[_key(table)], "before": None})
        self._touch(table, row)

    def edit(self, table: str, key: str, version: int | None, values: Mapping[str, Any]) -> None:
        """Change columns of a register row.

        Args:
            table: a table whose rows carry a version.
            key: the row's uid (or name).
            version: the one the writer saw; None where nobody saw one.
            values: the new values by column.

        Raises:
            Stale: the row has been changed since.
            NotFound: there is no such row.
        """
        row = self._row(table, key)
        if version is not None and row["version"] != version:
            raise Stale(say("Someone changed this since you opened it; nothing was saved. Look again, then repeat."))
        self._set(table, key, {**values, "version": row["version"] + 1})
        before = {column: row[column] for column in values}
        self.images.append({"table": table, "key": key, "before": before})
        self._touch(table, row)

    def void(self, table: str, key: str) -> None:
        """Mark a row of the log as never made.

        Raises:
            Conflict: it is void already.
            NotFound: there is no such row.
        """
        row = self._row(table, key)
        if row["voided_by"] is not None:
            raise Conflict(say("This entry has been taken out already."))
        self._set(table, key, {"voided_by": self.command_uid})
        self.images.append({"table": table, "key": key, "before": {"voided_by": None}})
        self._touch(table, row)

    def take_back(self, image: Image) -> None:
        """Undo one write.

        Raises:
            Conflict: others build on what it wrote.
        """
        table, key, before = image["table"], image["key"], image["before"]
        row = self._row(table, key)
        if table == "watch":
            self._check_watch(key, row["nickname"], before)
        if table == "sensor" and before is None and self._holds_stays(key):
            raise Conflict(
                say(
                    "This can't be undone: a watch was noted to lie on {name}. Take that note back first.",
                    name=row["name"],
                )
            )
        values = {"voided_by": self.command_uid} if before is None else before
        self._set(table, key, {**values, **({"version": row["version"] + 1} if "version" in row else {})})
        self._touch(table, row)

    def _check_watch(self, uid: str, nickname: str, before: Row | None) -> None:
        if before is None:
            if any(self._holds_entries(table, uid) for table in LOG_TABLES):
                raise Conflict(
                    say(
                        "This can't be undone: {nickname} has entries in its log. Take them out first.",
                        nickname=nickname,
                    )
                )
            return
        other = watch_named(self.db, before.get("nickname", nickname))
        if other is not None and other.uid != uid:
            raise Conflict(
                say("This can't be undone: another watch is called “{nickname}” now.", nickname=other.nickname)
            )

    def _holds_entries(self, table: str, watch_uid: str) -> bool:
        sql = f"SELECT 1 FROM {table} WHERE watch_uid = ? AND voided_by IS NULL LIMIT 1"  # noqa: S608 -- names are ours
        return self.db.execute(sql, [watch_uid]).fetchone() is not None

    def finish(self) -> None:
        """Count the change on every watch it touched, so that its cached figures are known to be old."""
        for uid in sorted(self.touched):
            self.db.execute("UPDATE watch SET log_counter = log_counter + 1 WHERE uid = ?", [uid])

    def _row(self, table: str, key: str) -> Row:
        cursor = self.db.execute(f"SELECT * FROM {table} WHERE {_key(table)} = ?", [key])  # noqa: S608 -- names are ours
        found = cursor.fetchone()
        if found is None:
            raise NotFound(say("There is no such entry, or no longer."))
        return dict(zip((column[0] for column in cursor.description), found, strict=True))

    def _set(self, table: str, key: str, values: Mapping[str, Any]) -> None:
        columns = ", ".join(f"{column} = ?" for column in values)
        self.db.execute(f"UPDATE {table} SET {columns} WHERE {_key(table)} = ?", [*values.values(), key])  # noqa: S608 -- names are ours

    def _holds_stays(self, sensor_uid: str) -> bool:
        sql = "SELECT 1 FROM sensor_watch WHERE sensor_uid = ? AND voided_by IS NULL"
        return self.db.execute(sql, [sensor_uid]).fetchone() is not None

    def _touch(self, table: str, row: Mapping[str, Any]) -> None:
        if table in LOG_TABLES:
            self.touched.add(row["watch_uid"])
        elif table == "watch":
            self.touched.add(row["uid"])
        elif table in {"sensor_watch", "sensor_answer"}:
            # What its sensor says is read as its own from here on, or no longer, or otherwise.
            self.touched.add(row["watch_uid"])
        elif table in {"setting", "absence"}:
            self.preferences_changed = True
        elif table in {"cue", "chosen_round", "bench_test"}:
            self.beside.add(row["watch_uid"])


def _key(table: str) -> str:
    return _KEY.get(table, "uid")


def as_text(images: list[Image]) -> str:
    """The images as the command log keeps them."""
    return json.dumps(images, ensure_ascii=False)
