"""Watches found by words: whatever their capitals and accents, in whatever order."""

from unicodedata import combining, normalize

from sqlite_utils import Database

from tracker.shortnames import in_two, short_name
from tracker.store.rows import all_rows
from tracker.store.writer import LOG_TABLES

FOR_ALL = ("nickname", "place")
FOR_OWNERS = (*FOR_ALL, "calibre", "belongs_to", "job_number", "serial", "note")
_UNACCENTED = str.maketrans({"ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "æ": "ae", "œ": "oe", "ı": "i"})
"""Letters of their own for Unicode, typed by whoever lacks their key as these."""


def found(db: Database, typed: str, *, for_owner: bool) -> set[str]:
    """The uids of the watches in whose texts each of these words stands; put away or not.

    Everyone finds by nickname, place and the six characters of a label; an owner by calibre, whose it is, job number,
    serial and notes, too, those of its log included.
    """
    words = folded(typed).split()
    texts = _texts(db, for_owner=for_owner) if words else {}
    short = "".join(letter for letter in folded(typed) if letter.isalnum())
    return {uid for uid, text in texts.items() if short == short_name(uid) or all(word in text for word in words)}


def folded(text: str) -> str:
    """A text without capitals and accents."""
    bare = "".join(letter for letter in normalize("NFKD", text.casefold()) if not combining(letter))
    return bare.translate(_UNACCENTED)


def _texts(db: Database, *, for_owner: bool) -> dict[str, str]:
    columns = FOR_OWNERS if for_owner else FOR_ALL
    rows = all_rows(db, f"SELECT uid, {', '.join(columns)} FROM watch WHERE voided_by IS NULL")  # noqa: S608 -- constants
    texts = {row["uid"]: [*(row[name] for name in columns), in_two(short_name(row["uid"]))] for row in rows}
    if for_owner:
        for table in LOG_TABLES:
            noted = f"SELECT watch_uid, note FROM {table} WHERE note <> '' AND voided_by IS NULL"  # noqa: S608 -- names are ours
            for row in all_rows(db, noted):
                texts.get(row["watch_uid"], []).append(row["note"])
    return {uid: folded("\n".join(parts)) for uid, parts in texts.items()}
