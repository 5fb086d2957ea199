"""The reminder that a link stands for, as its message told it, while it can still be answered."""

import json
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from sqlite_utils import Database

from tracker.reminders.links import Link, Spent
from tracker.reminders.message import Message, of_row
from tracker.reminders.reminder import LAST_CALL, LOOK, ROUND, RUN, round_from_row
from tracker.store import command_log
from tracker.store import reminders as rows
from tracker.store.moments import from_text
from tracker.words import say


@dataclass(frozen=True, slots=True)
class Asked:
    """A reminder to be answered; `watches` are those it asks to wind, as (uid, nickname)."""

    kind: str
    message: Message
    watches: tuple[tuple[str, str], ...]
    useful_until: datetime


def asked_by(db: Database, link: Link, now: datetime, zone: ZoneInfo) -> Asked:
    """What a link asks.

    Raises:
        Spent: the link was used, or its reminder is over.
    """
    if command_log.find_command(db, link.uid) is not None:
        raise Spent(say("This link was used already. Nothing more was changed."))
    row = rows.reminder(db, link.reminder_uid)
    if row is None or row["state"] != "due":
        raise Spent(say("This reminder is over. Nothing is left to do."))
    return Asked(row["kind"], of_row(row, now, zone), _watches(row), from_text(row["useful_until_utc"]))


def _watches(row: dict[str, Any]) -> tuple[tuple[str, str], ...]:
    if row["kind"] == ROUND:
        return tuple((each.watch_uid, each.nickname) for each in round_from_row(row).facts.open)
    if row["kind"] in {LAST_CALL, LOOK, RUN}:
        return ((row["subject_uid"], json.loads(row["facts"])["nickname"]),)
    return ()
