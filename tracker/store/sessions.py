"""Browsers that are logged in, and wrong tries, as rows. A session is known by the hash of what its cookie holds."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlite_utils import Database

from tracker.store.moments import from_text, to_text
from tracker.store.rows import all_rows, one_row


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """A browser that is logged in."""

    uid: str
    person_uid: str
    trusted: bool
    browser: str
    begun: datetime
    used: datetime
    ends: datetime


@dataclass(frozen=True, slots=True)
class WrongTries:
    """How many wrong passwords in a row, and when the last was."""

    failures: int
    last: datetime


def sessions(db: Database, now: datetime) -> list[Session]:
    """Every session that holds at this moment, the one used last first."""
    rows = all_rows(db, "SELECT * FROM session WHERE ends_utc > ? ORDER BY used_utc DESC, uid", [to_text(now)])
    return [_session(row) for row in rows]


def session_of_hash(db: Database, hashed: str, now: datetime) -> Session | None:
    """The session whose cookie has this hash, if it holds at this moment."""
    row = one_row(db, "SELECT * FROM session WHERE hash = ? AND ends_utc > ?", [hashed, to_text(now)])
    return None if row is None else _session(row)


def begin(db: Database, hashed: str, session: Session) -> None:
    """Keep a session, inside a change; those that ended by themselves are forgotten with it."""
    db.execute("DELETE FROM session WHERE ends_utc <= ?", [to_text(session.begun)])
    db.execute(
        "INSERT INTO session (uid, hash, person_uid, trusted, browser, begun_utc, used_utc, ends_utc) "
        "VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
        [
            session.uid,
            hashed,
            session.person_uid,
            int(session.trusted),
            session.browser,
            to_text(session.begun),
            to_text(session.used),
            to_text(session.ends),
        ],
    )


def note_use(db: Database, uid: str, now: datetime) -> None:
    """Keep that a session was used, inside a change."""
    db.execute("UPDATE session SET used_utc = ? WHERE uid = ?", [to_text(now), uid])


def end(db: Database, uid: str) -> None:
    """End one session, inside a change."""
    db.execute("DELETE FROM session WHERE uid = ?", [uid])


def end_of_person(db: Database, person_uid: str, *, but: str = "") -> None:
    """End every session of a person save one, inside a change."""
    db.execute("DELETE FROM session WHERE person_uid = ? AND uid != ?", [person_uid, but])


def end_all(db: Database) -> None:
    """End every session, inside a change."""
    db.execute("DELETE FROM session")


def wrong_tries(db: Database, source: str) -> WrongTries | None:
    """Wrong passwords from this source lately."""
    row = one_row(db, "SELECT * FROM wrong_try WHERE source = ?", [source])
    return None if row is None else WrongTries(row["failures"], from_text(row["last_utc"]))


def note_wrong(db: Database, source: str, now: datetime, forgotten: datetime) -> None:
    """Count one more try from this source, inside a change; what came before `forgotten` counts no longer."""
    db.execute("DELETE FROM wrong_try WHERE last_utc <= ?", [to_text(forgotten)])
    db.execute(
        "INSERT INTO wrong_try (source, failures, last_utc) VALUES (?, 1, ?) "
        "ON CONFLICT (source) DO UPDATE SET failures = failures + 1, last_utc = excluded.last_utc",
        [source, to_text(now)],
    )


def was_right(db: Database, source: str, everyone: str) -> None:
    """The try counted last was none: forget those of its source, and take it off those of all, inside a change."""
    db.execute("DELETE FROM wrong_try WHERE source = ? OR (source = ? AND failures = 1)", [source, everyone])
    db.execute("UPDATE wrong_try SET failures = failures - 1 WHERE source = ?", [everyone])


def _session(row: dict[str, Any]) -> Session:
    moments = {name: from_text(row[f"{name}_utc"]) for name in ("begun", "used", "ends")}
    return Session(
        uid=row["uid"], person_uid=row["person_uid"], trusted=bool(row["trusted"]), browser=row["browser"], **moments
    )
