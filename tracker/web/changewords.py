"""What was changed, batch by batch, in words: what, of which watches, by whom, from where; and why one can't be taken back."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from pydantic import ValidationError
from sqlite_utils import Database

from tracker import newest, phrases
from tracker.commands.register import FIELD_NAMES, EditWatch
from tracker.store import attachments, batches, log, portraits, register
from tracker.store.batches import Batch
from tracker.web import logwords, registerwords
from tracker.words import say

ORIGINS = {
    "page": "on the pages",
    "message": "by a link in a message",
    "program": "by a program",
    "command line": "on the command line",
    "file": "from a CSV file",
    "example": "as the example’s past",
}
BUILT_UPON = "It was changed again since: undo the later change first."
HAS_ENTRIES = "It has entries in its log by now: put it away instead."
IS_UNDO = "An undo is not undone itself: note it again."
OF_THE_EXAMPLE = "The example’s past is not taken back; going demo --reset begins it anew."
NAMED = 6
KINDS_IN_A_LINE = 3
"""Of more kinds a first line tells the number alone."""

Names = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Change:
    """One batch as a row of the page; `brief` is `what` for a first line.

    `watches` are uid and nickname of those it is about, `more` tells that there are others; `detail` what exactly was
    noted; `undo` names the batch where it can be taken back, else `why_not` tells why.
    """

    when: str
    what: str
    brief: str
    watches: tuple[tuple[str, str], ...]
    more: bool
    detail: str
    who: str
    undo: str
    why_not: str


def changes(db: Database, found: Sequence[Batch], now: datetime, zone: ZoneInfo) -> list[Change]:
    """These batches as rows."""
    people, taken, watches = batches.names_of_people(db), batches.built_upon(db, found), _nicknames(db)
    shown = []
    for batch in found:
        of = _of_undo(db, batch) or batch
        uids = [uid for uid in dict.fromkeys(_watch_of(db, each) for each in reversed(of.commands)) if uid in watches]
        why_not = _taken_back(batch, people, now, zone) or _why_not(db, batch, taken)
        shown.append(
            Change(
                when=phrases.when(batch.at, now, zone),
                what=phrases.capital(_what(batch, of)),
                brief=_what(batch, of) if len(of.kinds) <= KINDS_IN_A_LINE else _many(of),
                watches=tuple((uid, watches[uid]) for uid in uids[:NAMED]),
                more=sum(of.kinds.values()) > len(of.commands) or len(uids) > NAMED,
                detail=_detail(db, of, now, zone),
                who=say("{name}, {origin}", name=people.get(batch.person_uid, ""), origin=origin(batch.origin)),
                undo="" if why_not else batch.uid,
                why_not=why_not,
            )
        )
    return shown


def origin(word: str) -> str:
    """From where, in words."""
    return say(ORIGINS[word])


def _of_undo(db: Database, batch: Batch) -> Batch | None:
    return batches.taken_back_by(db, batch.uid) if "Undo" in batch.kinds else None


def _what(batch: Batch, of: Batch) -> str:
    if "Undo" not in batch.kinds:
        return newest.counted(batch.kinds)
    return say("taken back: {what}", what=newest.counted(of.kinds)) if of is not batch else say("taken back")


def _many(of: Batch) -> str:
    return say("{n} changes at once", n=sum(of.kinds.values()))


def _nicknames(db: Database) -> dict[str, str]:
    return {watch.uid: watch.nickname for watch in register.every_watch(db)}


def _watch_of(db: Database, command: Mapping[str, Any]) -> str:
    """The watch a command is about; "" where it is about none."""
    told = command["payload"]
    if "watch_uid" in told:
        return str(told["watch_uid"])
    if "entry_uid" in told:
        return _watch_in(log.find_entry(db, told["entry_uid"]))
    if "attachment_uid" in told:
        return _watch_in(attachments.attachment(db, told["attachment_uid"], taken_out=True))
    if "portrait_uid" in told:
        return _watch_in(portraits.portrait(db, told["portrait_uid"], taken_out=True))
    if "of_uid" in told:
        return _watch_in(log.find_entry(db, told["of_uid"])) or str(told["of_uid"])
    return str(command["uid"]) if command["kind"] == "RegisterWatch" else ""


def _watch_in(row: Mapping[str, Any] | None) -> str:
    return "" if row is None else str(row["watch_uid"])


def _detail(db: Database, batch: Batch, now: datetime, zone: ZoneInfo) -> str:
    """What exactly was noted, where the batch is one entry, or one edit of a watch, and what came with it."""
    first = batch.commands[-1]
    if sum(batch.kinds.values()) > len(batch.commands) or len({_watch_of(db, each) for each in batch.commands}) > 1:
        return ""
    if first["kind"] == "EditWatch":
        return _edited(db, first)
    row = log.find_entry(db, first["payload"].get("entry_uid") or first["uid"])
    if row is None:
        return ""
    return say("{when}: {told}", when=logwords.when(row, now, zone), told=logwords.told(row))


def _edited(db: Database, command: Mapping[str, Any]) -> str:
    """What an edit made of what the register said before."""
    uid = command["payload"]["watch_uid"]
    try:
        given = EditWatch.model_validate(command["payload"])
    except ValidationError:  # as an older program wrote it
        return ""
    columns = register.watch_columns({name: getattr(given, name) for name in FIELD_NAMES})
    images = [image["before"] for image in command["before"] if image["table"] == "watch"]
    before, after = register.as_it_was(db, uid, images[0]), register.as_it_was(db, uid, columns)
    if before is None or after is None:
        return ""
    old, new = dict(registerwords.register(before)), dict(registerwords.register(after))
    told = [
        say("{label}: {value}", label=label, value=new.get(label) or say("no longer said"))
        for label in dict.fromkeys([*new, *old])
        if new.get(label) != old.get(label)
    ]
    renamed = [say("it was called {nickname}", nickname=before.nickname)] if before.nickname != after.nickname else []
    return phrases.capital("; ".join([*renamed, *told]))


def _taken_back(batch: Batch, people: Names, now: datetime, zone: ZoneInfo) -> str:
    if batch.undone_at is None:
        return ""
    name, when = people.get(batch.undone_by or "", ""), phrases.when(batch.undone_at, now, zone)
    return say("Taken back by {name} {when}.", name=name, when=when)


def _why_not(db: Database, batch: Batch, taken: set[str]) -> str:
    if "Undo" in batch.kinds:
        return say(IS_UNDO)
    if batch.origin == "example":
        return say(OF_THE_EXAMPLE)
    if batch.uid in taken:
        return say(BUILT_UPON)
    return say(HAS_ENTRIES) if _has_come_to_life(db, batch) else ""


def _has_come_to_life(db: Database, batch: Batch) -> bool:
    """Whether a watch that joined with this batch has entries that came in another."""
    own = [command["uid"] for command in batch.commands]
    return sum(batch.kinds.values()) == len(own) and any(
        batches.has_entries_beside(db, command["uid"], own)
        for command in batch.commands
        if command["kind"] == "RegisterWatch"
    )
