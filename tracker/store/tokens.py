"""Tokens as rows: what lets a program in, with no more than its scope."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal

from sqlite_utils import Database

from tracker.store.moments import from_text, to_text
from tracker.store.rows import all_rows, one_row

Scope = Literal["read", "log", "all"]
SCOPES: tuple[Scope, ...] = ("read", "log", "all")


@dataclass(frozen=True, slots=True)
class Token:
    """A token without its secret; `expires` is None for one without an end, `used` for one that nobody used yet."""

    uid: str
    name: str
    person_uid: str
    scope: Scope
    expires: datetime | None
    used: datetime | None
    version: int


def tokens(db: Database, now: datetime) -> list[Token]:
    """Every token that opens anything at this moment, the oldest first."""
    sql = f"SELECT * FROM token WHERE {_STANDS} ORDER BY added_utc, uid"  # noqa: S608 -- a constant
    return [_token(row) for row in all_rows(db, sql, {"now": to_text(now)})]


def token_of_hash(db: Database, hashed: str, now: datetime) -> Token | None:
    """The token whose secret has this hash, if it opens anything at this moment."""
    sql = f"SELECT * FROM token WHERE secret_uid = (SELECT uid FROM secret WHERE hash = :hash) AND {_STANDS}"  # noqa: S608 -- as above
    row = one_row(db, sql, {"hash": hashed, "now": to_text(now)})
    return None if row is None else _token(row)


def note_use(db: Database, uid: str, now: datetime) -> None:
    """Keep that a token was used, inside a change."""
    db.execute("UPDATE token SET used_utc = ? WHERE uid = ?", [to_text(now), uid])


_STANDS = "ended_utc IS NULL AND voided_by IS NULL AND (expires_utc IS NULL OR expires_utc > :now)"


def _token(row: dict[str, Any]) -> Token:
    expires, used = (row[name] and from_text(row[name]) for name in ("expires_utc", "used_utc"))
    return Token(row["uid"], row["name"], row["person_uid"], row["scope"], expires, used, row["version"])
