"""A person's newest change, told so that undo says what it would take back."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from sqlite_utils import Database

from tracker import phrases
from tracker.store import command_log, register
from tracker.words import say

KINDS = {
    "RegisterWatch": ("a watch added", "{n} watches added"),
    "EditWatch": ("a watch edited", "{n} watches edited"),
    "ArchiveWatch": ("a watch put away", "{n} watches put away"),
    "BringBackWatch": ("a watch brought back", "{n} watches brought back"),
    "HandBack": ("a watch handed back", "{n} watches handed back"),
    "LogWind": ("a winding", "{n} windings"),
    "LogSighting": ("a sighting", "{n} sightings"),
    "LogWear": ("a note of wear", "{n} notes of wear"),
    "LogWinder": ("a note of a winder", "{n} notes of winders"),
    "LogService": ("a service", "{n} services"),
    "LogReading": ("a timing reading", "{n} timing readings"),
    "LogSign": ("a sign noted", "{n} signs noted"),
    "AttachPhotograph": ("a photograph", "{n} photographs"),
    "GiveUpReading": ("a photograph given up", "{n} photographs given up"),
    "AttachFile": ("a file attached", "{n} files attached"),
    "TakeOutFile": ("a file taken out", "{n} files taken out"),
    "AddPortrait": ("a photograph of a watch", "{n} photographs of watches"),
    "ShowPortraitFirst": ("a photograph chosen", "{n} photographs chosen"),
    "TakeOutPortrait": ("a photograph of a watch taken out", "{n} photographs of watches taken out"),
    "VoidEntry": ("an entry taken out", "{n} entries taken out"),
    "KeepBarrel": ("what is known of a barrel", "what is known of {n} barrels"),
    "ChangeSettings": ("settings changed", "settings changed"),
    "AddChannel": ("a channel added", "{n} channels added"),
    "PauseChannel": ("a channel paused or let go on", "{n} channels paused or let go on"),
    "RemoveChannel": ("a channel removed", "{n} channels removed"),
    "AddPerson": ("a person added", "{n} people added"),
    "EditPerson": ("a person renamed or given another role", "{n} people renamed or given another role"),
    "RemovePerson": ("a person removed", "{n} people removed"),
    "SetPassword": ("a password set", "{n} passwords set"),
    "AddToken": ("a token made", "{n} tokens made"),
    "EndToken": ("a token ended", "{n} tokens ended"),
    "PutOff": ("a reminder put off", "{n} reminders put off"),
    "AcknowledgeCue": ("a cue put off", "{n} cues put off"),
    "ChooseRound": ("a round chosen", "{n} rounds chosen"),
    "LetPlanDecide": ("a round left to the plan again", "{n} rounds left to the plan again"),
    "KeepAbsence": ("an absence kept", "{n} absences kept"),
    "DropAbsence": ("an absence dropped", "{n} absences dropped"),
    "StartTest": ("a run-down test begun", "{n} run-down tests begun"),
    "EndTest": ("a run-down test ended", "{n} run-down tests ended"),
    "AddSensor": ("a sensor added", "{n} sensors added"),
    "EditSensor": ("a sensor edited", "{n} sensors edited"),
    "ArchiveSensor": ("a sensor put away", "{n} sensors put away"),
    "BringBackSensor": ("a sensor brought back", "{n} sensors brought back"),
    "LayOnSensor": ("a watch laid on its sensor", "{n} watches laid on their sensors"),
    "TakeOffSensor": ("a watch taken off its sensor", "{n} watches taken off their sensors"),
    "AnswerSensor": ("a word on what a sensor told", "{n} words on what sensors told"),
}
NAMED = 6


@dataclass(frozen=True, slots=True)
class Change:
    """One batch of commands, and what it did, of which watches, and when, in words."""

    batch: str
    told: str


def newest_change(db: Database, person_uid: str, now: datetime, zone: ZoneInfo) -> Change | None:
    """The batch that this person's undo would take back; None where there is nothing to undo."""
    batch = command_log.newest_batch(db, person_uid)
    if batch is None:
        return None
    counts = command_log.batch_counts(db, batch, person_uid)
    rows = command_log.batch_payloads(db, batch, person_uid, NAMED + 1)
    names = _names(db, rows)
    of = f" ({', '.join(names[:NAMED])}{'…' if len(rows) > NAMED else ''})" if names else ""
    given = phrases.when(datetime.fromisoformat(rows[0]["at_utc"]), now, zone)
    return Change(batch, say("{counted}{of}, given {when}", counted=counted(counts), of=of, when=given))


def counted(kinds: Mapping[str, int]) -> str:
    """So many commands of each kind, in words: `a winding and two sightings`."""
    return phrases.listed([_counted(kind, kinds[kind]) for kind in KINDS if kind in kinds])


def _counted(kind: str, count: int) -> str:
    one, many = KINDS[kind]
    return say(one) if count == 1 else say(many, n=phrases.number(count))


def _names(db: Database, rows: list[dict[str, str]]) -> list[str]:
    uids = {json.loads(row["payload"]).get("watch_uid") or row["uid"] for row in rows}
    watches = [register.watch(db, uid) for uid in uids]
    return sorted(watch.nickname for watch in watches if watch is not None)
