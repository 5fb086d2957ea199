"""The file, its connections, and the one way to change it."""

import sqlite3
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlite_utils import Database, Migrations

from tracker.errors import Unavailable
from tracker.store.migrations import alone, migrate
from tracker.store.reasons import from_outside, reason
from tracker.words import say

BUSY_MS = 10_000

Connect = Callable[[Path], sqlite3.Connection]


def connect(path: Path) -> sqlite3.Connection:
    """Open a connection with SQLite's own checks switched on; they are off on every new one."""
    conn = sqlite3.connect(path, check_same_thread=False)
    try:
        prepare(conn)
    except BaseException:
        conn.close()
        raise
    return conn


def prepare(conn: sqlite3.Connection) -> None:
    """Set what holds for a connection alone: waiting, foreign keys, durability."""
    conn.execute(f"PRAGMA busy_timeout = {BUSY_MS}")
    conn.execute("PRAGMA foreign_keys = ON")
    conn.execute("PRAGMA journal_mode = WAL")
    conn.execute("PRAGMA synchronous = FULL")


class Store:
    """One collection's database file: a connection per thread, and `change()` as the only way to write.

    `migrations` are those of a file other than going.db. `connect` is the factory of connections; tests hand in one
    that fails.
    """

    def __init__(self, path: Path, *, migrations: Migrations | None = None, connect: Connect = connect) -> None:
        self.path = path
        self._migrations = migrations
        self._connect = connect
        self._own = threading.local()
        self._open: dict[sqlite3.Connection, threading.Thread] = {}
        self._opening = threading.Lock()

    def prepare(self) -> None:
        """Create the file or bring it to the present schema.

        Raises:
            Unavailable: it can't be opened, is no database, or was written by a newer program.
        """
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            # The first connection to a new file changes its journal mode, for which SQLite does not wait.
            with alone(self.path):
                migrate(self.path, self.reading(), self._migrations)
        except BaseException as error:
            self.close()
            if isinstance(error, OSError) or from_outside(error):
                raise Unavailable(
                    say(
                        "The collection in {folder} can't be opened: {why}.", folder=self.path.parent, why=reason(error)
                    )
                ) from error
            raise

    def reading(self) -> Database:
        """This thread's own connection, for reading."""
        db: Database | None = getattr(self._own, "db", None)
        if db is None:
            conn = self._connect(self.path)
            with self._opening:
                self._open[conn] = threading.current_thread()
            db = Database(conn, recursive_triggers=False, execute_plugins=False)
            self._own.db = db
        return db

    @contextmanager
    def change(self) -> Iterator[Database]:
        """One transaction that holds the write lock from its first statement; all of it is kept, or nothing.

        A connection whose rollback failed would swallow the next change in silence, so it is thrown away.

        Raises:
            Unavailable: another writer held the file for too long, or the disk refuses.
        """
        db: Database | None = None
        try:
            db = self._for_writing()
            db.conn.execute("BEGIN IMMEDIATE")
            yield db
            db.conn.execute("COMMIT")
        except BaseException as error:
            if db is not None:
                self._roll_back(db)
            if from_outside(error):
                raise Unavailable(
                    say("Nothing was saved in {file}: {why}. Try again.", file=self.path.name, why=reason(error))
                ) from error
            raise

    def changes_of_others(self) -> int:
        """A number that is another one whenever any other connection changed the file since it was asked for last."""
        (version,) = self.reading().execute("PRAGMA data_version").fetchone()
        return int(version)

    def _for_writing(self) -> Database:
        db = self.reading()
        if db.conn.in_transaction:
            self._throw_away(db)
            db = self.reading()
        return db

    def _roll_back(self, db: Database) -> None:
        try:
            if db.conn.in_transaction:
                db.conn.execute("ROLLBACK")
        except sqlite3.Error:
            self._throw_away(db)

    def _throw_away(self, db: Database) -> None:
        self._own.db = None
        with self._opening:
            self._open.pop(db.conn, None)
        # Closing rolls back what the failed ROLLBACK left open.
        db.conn.close()

    def leave(self) -> None:
        """Close this thread's own connection, for a thread that ends before the program does."""
        db: Database | None = getattr(self._own, "db", None)
        if db is not None:
            self._throw_away(db)

    def close(self) -> None:
        """Close this thread's connection and those of threads that have ended.

        One that another thread may be reading from is let go: it closes when nobody holds it. To close it here could
        crash the program, for SQLite's statements are then freed under that thread.
        """
        with self._opening:
            for conn, thread in self._open.items():
                if thread is threading.current_thread() or not thread.is_alive():
                    conn.close()
            self._open.clear()
        self._own = threading.local()
