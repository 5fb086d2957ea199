"""Putting a watch on lays down the one its wearer wore before: the notes that another note of wear brings with it."""

from collections.abc import Iterator
from datetime import timedelta

from sqlite_utils import Database

from tracker.commands.base import Command
from tracker.commands.fields import WIDEST_MIN
from tracker.commands.log import LogWear, Moved, VoidEntry
from tracker.core.timeline import ONE_ACT
from tracker.store import command_log, log, worn
from tracker.store.moments import from_text, to_text
from tracker.store.worn import Row
from tracker.uids import uid_of


def brought_by(db: Database, command: Command) -> list[Command]:
    """What follows from a command that was just applied, and goes with it into one batch.

    Where a person puts a watch on, the one worn before is laid down at the same moment, unless a note says how it left
    the wrist. When it was laid down nobody noted, so that moment is as wide as it was worn; worn for longer than any
    moment is wide, it has left the wrist unnoted. Notes of earlier times bring what they would have brought then, and
    take back what no longer holds; what was taken out by hand stays out. A watch put on a winder has left the wrist.
    """
    put_on = dict[str, Row]()
    for person_uid, moment in dict.fromkeys(_wear_touched(db, command)):
        put_on |= {row["uid"]: row for row in _concerned(db, person_uid, moment)}
    commands, out = list[Command](), set[str]()
    for row in sorted(put_on.values(), key=lambda row: (row["voided_by"] is None, row["at_utc"])):
        commands += _settled(db, row, command.uid, out)
    return commands


def _wear_touched(db: Database, command: Command) -> Iterator[tuple[str, str]]:
    """Whose wear a command touched, and from when on: of a watch on a winder, that of who had put it on last."""
    for row in _rows_of(db, command):
        on_wrist = row if row["table"] == "wear" else worn.put_on_last(db, row["watch_uid"], row["at_utc"])
        if on_wrist is not None:
            yield on_wrist["worn_by"], on_wrist["at_utc"]


def _rows_of(db: Database, command: Command) -> Iterator[Row]:
    """The notes of wear and winders that this command wrote or took out, without those that were brought themselves."""
    if isinstance(command, Moved) and not command.as_it_stands:
        uids = [command.uid, command.replaces]
    else:
        uids = [command.entry_uid] if isinstance(command, VoidEntry) else []
    for uid in uids:
        row = log.find_entry(db, uid) if uid else None
        if row is None or row["table"] not in {"wear", "on_winder"}:
            continue
        if row["table"] == "on_winder" or uid == command.uid or not _was_brought(db, row):
            yield row


def _concerned(db: Database, person_uid: str, moment: str) -> list[Row]:
    """Every putting on which a note of this moment may lay another watch down or keep from it."""
    first = to_text(from_text(moment) - ONE_ACT)
    following = worn.put_on_next(db, person_uid, moment)
    return worn.put_on_between(db, person_uid, first, moment) + ([following] if following else [])


def _settled(db: Database, put_on: Row, bringer: str, out: set[str]) -> list[Command]:
    """What makes the notes brought by this putting on the right ones; `out` gathers those that are taken out."""
    there = [row for row in worn.laid_down_at(db, put_on["worn_by"], put_on["at_utc"]) if _brought(db, put_on, row)]
    former = None if put_on["voided_by"] else _former(db, put_on, out)
    wrong = [row for row in there if former is None or row["watch_uid"] != former["watch_uid"]]
    commands: list[Command] = [
        VoidEntry(uid=uid_of(bringer, row["uid"], "taken out"), entry_uid=row["uid"]) for row in wrong
    ]
    out |= {row["uid"] for row in wrong}
    if former is not None and len(there) == len(wrong):
        commands += _laid_down(db, put_on, former)
    return commands


def _former(db: Database, put_on: Row, out: set[str]) -> Row | None:
    """The putting on of the watch that was still worn, as far as is noted."""
    moment = put_on["at_utc"]
    before = worn.put_on_before(db, put_on)
    if before is None or before["watch_uid"] == put_on["watch_uid"] or _width_min(put_on, before) > WIDEST_MIN:
        return None
    act_until = to_text(from_text(moment) + ONE_ACT)
    left = worn.off_the_wrist(db, before["watch_uid"], before["at_utc"], moment, act_until)
    brought = {row["uid"] for row in worn.laid_down_at(db, put_on["worn_by"], moment) if _was_brought(db, row)}
    return before if left <= brought | out else None


def _width_min(put_on: Row, former: Row) -> float:
    """How sure the moment is at which the former watch was laid down: at any time since it was put on."""
    worn_for = from_text(put_on["at_utc"]) - from_text(former["at_utc"])
    width: float = put_on["within_min"]
    return width + worn_for / timedelta(minutes=1)


def _laid_down(db: Database, put_on: Row, former: Row) -> list[Command]:
    *used, uid = _uids(db, put_on, former["watch_uid"])
    if any(_out_by_hand(db, each) for each in used):
        return []
    command = LogWear(
        uid=uid,
        watch_uid=former["watch_uid"],
        at=from_text(put_on["at_utc"]),
        zone=put_on["zone"],
        within_min=_width_min(put_on, former),
        act="laid down",
        worn_by=put_on["worn_by"],
    )
    return [command]


def _uids(db: Database, put_on: Row, watch_uid: str) -> list[str]:
    """The uids that were given to a note of this watch brought by this putting on, and last the one still free."""
    uids = [uid_of(put_on["uid"], watch_uid, "laid down")]
    while log.find_entry(db, uids[-1]) is not None:
        uids.append(uid_of("again", uids[-1]))
    return uids


def _brought(db: Database, put_on: Row, laid_down: Row) -> bool:
    return laid_down["uid"] in _uids(db, put_on, laid_down["watch_uid"])


def _was_brought(db: Database, row: Row) -> bool:
    """Whether this note of wear was brought by a putting on of its moment."""
    same_moment = worn.put_on_between(db, row["worn_by"], row["at_utc"], row["at_utc"])
    return row["act"] == "laid down" and any(_brought(db, put_on, row) for put_on in same_moment)


def _out_by_hand(db: Database, uid: str) -> bool:
    """Whether someone took this note out or corrected it: undo and what is brought have other ways."""
    row = log.find_entry(db, uid)
    by = command_log.find_command(db, row["voided_by"]) if row is not None and row["voided_by"] else None
    return by is not None and (by["kind"] == "LogWear" or (by["kind"] == "VoidEntry" and by["batch"] == by["uid"]))
