"""Where a row is read: the collection it may be known to, and the file it stands in."""

from collections import Counter
from dataclasses import dataclass, field
from datetime import datetime
from zoneinfo import ZoneInfo

from sqlite_utils import Database

from tracker.core.watch import Watch
from tracker.csvfile.table import Table
from tracker.errors import BadInput
from tracker.store import register
from tracker.uids import uid_of
from tracker.words import say


@dataclass(slots=True)
class Place:
    """The collection, the owner's moment and zone, the file's columns and uids."""

    db: Database
    now: datetime
    zone: ZoneInfo
    columns: frozenset[str]
    uids: frozenset[str]
    watches: list[Watch]
    _equals: Counter[tuple[str, ...]] = field(default_factory=Counter)
    _lines: dict[str, int] = field(default_factory=dict)

    def uid_for(self, *content: str) -> str:
        """The lasting name of a row without uid: from what it says, and which of its equals in this file it is."""
        ordinal = self._equals[content]
        self._equals[content] += 1
        return uid_of(*content, str(ordinal))

    def check_once(self, uid: str, line: int) -> None:
        """Refuse a uid that stands in the file twice.

        Raises:
            BadInput: it stands in another line too.
        """
        first = self._lines.setdefault(uid, line)
        if first != line:
            raise BadInput(say("This uid is in line {line} already.", line=first), field="uid")


def place_of(db: Database, table: Table, now: datetime, zone: ZoneInfo) -> Place:
    """The place of every row of this table."""
    return Place(
        db=db,
        now=now,
        zone=zone,
        columns=table.columns,
        uids=frozenset(row.cells["uid"] for row in table.rows if "uid" in row.cells),
        watches=[*register.watches(db), *register.watches(db, archived=True)],
    )
