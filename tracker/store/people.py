"""Persons as rows, and the hashes of their secrets, which lie apart: no record of a change holds one."""

from dataclasses import dataclass
from typing import Any, Literal

from sqlite_utils import Database

from tracker.store.rows import all_rows, one_row

Role = Literal["owner", "helper"]
STANDING = "removed_utc IS NULL AND voided_by IS NULL"


@dataclass(frozen=True, slots=True)
class Person:
    """Who lives or works with the collection. `secret_uid` names the hash of the password, None without one."""

    uid: str
    name: str
    role: Role
    secret_uid: str | None
    version: int


def people(db: Database) -> list[Person]:
    """Everyone who is there, the oldest first."""
    return [_person(row) for row in all_rows(db, f"SELECT * FROM person WHERE {STANDING} ORDER BY added_utc, uid")]  # noqa: S608 -- a constant


def person(db: Database, uid: str) -> Person | None:
    """One person, unless removed."""
    row = one_row(db, f"SELECT * FROM person WHERE uid = ? AND {STANDING}", [uid])  # noqa: S608 -- a constant
    return None if row is None else _person(row)


def person_named(db: Database, name: str) -> Person | None:
    """The person of this name, whatever its capitals and the space around it."""
    sought = name.strip().casefold()
    return next((each for each in people(db) if each.name.casefold() == sought), None)


def first_owner(db: Database) -> Person | None:
    """The owner who has been there longest."""
    return next((each for each in people(db) if each.role == "owner"), None)


def two_of_a_name(db: Database) -> bool:
    """Whether two persons who are there are called alike."""
    names = [each.name.casefold() for each in people(db)]
    return len(set(names)) < len(names)


def has_owner(db: Database) -> bool:
    """Whether anyone who is there is an owner."""
    return any(each.role == "owner" for each in people(db))


def anyone_can_log_in(db: Database) -> bool:
    """Whether an owner has a password."""
    return any(each.role == "owner" and each.secret_uid for each in people(db))


def hash_of(db: Database, secret_uid: str | None) -> str:
    """The hash that was laid down under this uid; empty where there is none."""
    row = one_row(db, "SELECT hash FROM secret WHERE uid = ?", [secret_uid])
    return "" if row is None else str(row["hash"])


def keep_hash(db: Database, uid: str, hashed: str) -> None:
    """Lay a hash down for the command to come, inside a change; one in use stays. Those that nobody uses any more go."""
    db.execute(
        "DELETE FROM secret WHERE uid NOT IN (SELECT secret_uid FROM person WHERE secret_uid IS NOT NULL) "
        "AND uid NOT IN (SELECT secret_uid FROM token)"
    )
    db.execute("INSERT OR IGNORE INTO secret (uid, hash) VALUES (?, ?)", [uid, hashed])


def forget_hash(db: Database, secret_uid: str | None) -> None:
    """Forget a hash, inside a change."""
    db.execute("DELETE FROM secret WHERE uid = ?", [secret_uid])


def lacks_hash(db: Database) -> bool:
    """Whether someone who is there has a password whose hash was forgotten."""
    return any(each.secret_uid and not hash_of(db, each.secret_uid) for each in people(db))


def _person(row: dict[str, Any]) -> Person:
    return Person(row["uid"], row["name"], row["role"], row["secret_uid"], row["version"])
