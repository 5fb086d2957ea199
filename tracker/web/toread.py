"""Which photographs are still to be read, and what the Watch page calls the fields for it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlite_utils import Database

from tracker.commands.photograph import tells_of_a_stop
from tracker.store import attachments, log

Row = dict[str, Any]


@dataclass(frozen=True, slots=True)
class ToRead:
    """A photograph whose hands nobody has read yet, and the entry it belongs to."""

    uid: str
    entry: Row


def to_read(rows: Sequence[Row], photographs: Mapping[str, Sequence[Row]]) -> list[ToRead]:
    """What is still asked, newest entry first: of stops without hands, each photograph not given up.

    Args:
        rows: the log of one watch, newest first, each with its `table`.
        photographs: those of each entry, by its uid.
    """
    return [
        ToRead(photograph["uid"], row)
        for row in rows
        if tells_of_a_stop(row) and row["shown"] is None
        for photograph in photographs.get(row["uid"], ())
        if not photograph["unreadable"]
    ]


def entry_of(db: Database, photograph: Row) -> Row | None:
    """The entry a photograph belongs to by now; None where that was taken out."""
    kept = attachments.by_entry(db, photograph["watch_uid"])
    named = (uid for uid, found in kept.items() if photograph["uid"] in {each["uid"] for each in found})
    uid = next(named, None)
    return None if uid is None else log.find_entry(db, uid)


def field(name: str, photograph_uid: str) -> str:
    """What the Watch page calls this field of a photograph's entry."""
    return f"{name}-{photograph_uid}"
