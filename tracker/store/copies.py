"""Whole copies of a file while others use it, and what SQLite itself finds wrong in one."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from tracker.store.reasons import from_outside, reason

BUSY_MS = 10_000


@contextmanager
def _read_only(path: Path) -> Iterator[sqlite3.Connection]:
    """A connection that can't change the file."""
    with closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)) as conn:
        conn.execute(f"PRAGMA busy_timeout = {BUSY_MS}")
        yield conn


def copy_whole(source: Path, target: Path) -> str | None:
    """Copy the file as it stands at one moment, however busy it is; returns what was in the way, None if nothing was."""
    try:
        with _read_only(source) as conn:
            conn.execute("VACUUM INTO ?", [str(target)])
    except sqlite3.Error as error:
        return reason(error)
    return None


def flaws(path: Path) -> list[str]:
    """What SQLite's own checks find wrong in the file, at most a few lines; nothing for a sound one."""
    try:
        with _read_only(path) as conn:
            found = [row[0] for row in conn.execute("PRAGMA integrity_check(5)") if row[0] != "ok"]
            loose = [] if found else conn.execute("PRAGMA foreign_key_check").fetchmany(5)
            return found + [
                f"{table}, row {row}: names a row of {other} that is not there" for table, row, other, _ in loose
            ]
    except sqlite3.Error as error:
        if from_outside(error):
            return [reason(error)]
        raise


def row_counts(path: Path) -> dict[str, int]:
    """How many rows each table holds."""
    with _read_only(path) as conn:
        names = [name for (name,) in conn.execute("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name")]
        return {name: conn.execute(f'SELECT count(*) FROM "{name}"').fetchone()[0] for name in names}  # noqa: S608 -- its own names


def schema_steps(path: Path) -> list[str]:
    """The migrations the file has had; none where it is no file of this program."""
    with _read_only(path) as conn:
        if not conn.execute("SELECT 1 FROM sqlite_master WHERE name = '_sqlite_migrations'").fetchone():
            return []
        return [name for (name,) in conn.execute("SELECT name FROM _sqlite_migrations ORDER BY name")]


def named_files(path: Path) -> set[str]:
    """The hashes of all files that any row names, voided ones too: a table names files by columns ending in `sha256`."""
    with _read_only(path) as conn:
        tables = conn.execute(
            "SELECT m.name, c.name FROM sqlite_master m JOIN pragma_table_info(m.name) c "
            "WHERE m.type = 'table' AND c.name LIKE '%sha256'"
        ).fetchall()
        return {
            hash_
            for table, column in tables
            for (hash_,) in conn.execute(f'SELECT "{column}" FROM "{table}" WHERE "{column}" IS NOT NULL')  # noqa: S608 -- its own names
        }
