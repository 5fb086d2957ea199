"""Where commands come in: one transaction, each command once, derived figures brought up to date with it."""

import logging
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlite_utils import Database

from tracker import derive
from tracker.commands.absence import DropAbsence, KeepAbsence
from tracker.commands.attachment import AttachFile, TakeOutFile
from tracker.commands.barrel import KeepBarrel
from tracker.commands.base import Command, Who
from tracker.commands.benchtest import EndTest, StartTest, ended_with
from tracker.commands.changeover import brought_by
from tracker.commands.channel import AddChannel, PauseChannel, RemoveChannel
from tracker.commands.choice import ChooseRound, LetPlanDecide
from tracker.commands.cue import AcknowledgeCue
from tracker.commands.heard import AnswerSensor
from tracker.commands.log import LogReading, LogService, LogSighting, LogWear, LogWind, LogWinder, VoidEntry
from tracker.commands.permitted import refuse_strangers
from tracker.commands.person import AddPerson, EditPerson, RemovePerson, SetPassword
from tracker.commands.photograph import AttachPhotograph, GiveUpReading
from tracker.commands.portrait import AddPortrait, ShowPortraitFirst, TakeOutPortrait
from tracker.commands.putoff import PutOff
from tracker.commands.register import ArchiveWatch, BringBackWatch, EditWatch, HandBack, RegisterWatch
from tracker.commands.sensor import (
    AddSensor,
    ArchiveSensor,
    BringBackSensor,
    EditSensor,
    LayOnSensor,
    TakeOffSensor,
)
from tracker.commands.settings import ChangeSettings
from tracker.commands.sign import LogSign
from tracker.commands.token import AddToken, EndToken
from tracker.commands.undo import Undo
from tracker.errors import Conflict
from tracker.known import memory_of
from tracker.store import command_log, people, register
from tracker.store.moments import to_text
from tracker.store.store import Store
from tracker.store.writer import Writer, as_text
from tracker.words import say

_log = logging.getLogger(__name__)

COMMANDS: dict[str, type[Command]] = {
    command.__name__: command
    for command in (
        RegisterWatch,
        EditWatch,
        ArchiveWatch,
        BringBackWatch,
        HandBack,
        LogWind,
        LogSighting,
        LogWear,
        LogWinder,
        LogService,
        LogReading,
        LogSign,
        VoidEntry,
        AttachPhotograph,
        GiveUpReading,
        AttachFile,
        TakeOutFile,
        AddPortrait,
        ShowPortraitFirst,
        TakeOutPortrait,
        KeepBarrel,
        ChangeSettings,
        AcknowledgeCue,
        AnswerSensor,
        ChooseRound,
        LetPlanDecide,
        KeepAbsence,
        DropAbsence,
        AddSensor,
        EditSensor,
        ArchiveSensor,
        BringBackSensor,
        LayOnSensor,
        TakeOffSensor,
        AddChannel,
        PauseChannel,
        RemoveChannel,
        PutOff,
        AddPerson,
        EditPerson,
        RemovePerson,
        SetPassword,
        AddToken,
        EndToken,
        StartTest,
        EndTest,
        Undo,
    )
}

Then = Callable[[Store, datetime, Collection[str]], object]
"""Sees to the estimates of these watches, at this moment."""


@dataclass(frozen=True, slots=True)
class Done:
    """What came of a batch: its uid, how many commands changed something, how many had been given before.

    `brought` are the commands that followed from them.
    """

    batch: str
    applied: int
    repeated: int
    brought: tuple[Command, ...] = ()


def submit(store: Store, commands: Sequence[Command], who: Who, *, then: Then = derive.catch_up) -> Done:
    """Apply these commands together: all of them, or none; the reminders of the touched watches come with them.

    The batch is named after the first command that was not given before, so that what another batch did stays its own;
    where all were given before, it is the batch of the first. Undo takes a batch back as a whole.

    Args:
        store: the collection.
        commands: at least one.
        who: who gives them.
        then: what sees to the estimates of the touched watches, once the change is kept; by default they are worked out
            before this returns.

    Raises:
        GoingError: what is in the way; nothing is kept.
    """
    batch, writers, brought, applied = "", list[Writer](), list[Command](), 0
    with store.change() as db:
        giver = people.person(db, who.person_uid)
        for command in commands:
            refuse_strangers(giver, command, who)
            if _batch_of(db, command) is None:
                batch = batch or command.uid
                writers.append(_apply(db, command, batch, who))
                followed = [*brought_by(db, command), *ended_with(db, command)]
                writers += [_apply(db, each, batch, who) for each in followed]
                brought += followed
                applied += 1
        batch = batch or _batch_of(db, commands[0]) or ""
        touched, others = _touched(db, writers)
        read_now = derive.settle(db, touched, others, who.now, memory_of(store))
    memory_of(store).histories |= read_now
    try:
        then(store, who.now, touched | others)
    except Exception:  # noqa: BLE001 -- what was commanded is kept by now, and whoever looks next makes up for the rest
        _log.exception("A change was kept; what follows from it is still to be worked out.")
    return Done(batch, applied, len(commands) - applied, tuple(brought))


def _touched(db: Database, writers: Sequence[Writer]) -> tuple[set[str], set[str]]:
    """The watches whose log or entry in the register moved on, and those that are touched otherwise."""
    touched = set[str]().union(*(writer.touched for writer in writers))
    others = set[str]().union(*(writer.beside for writer in writers))
    if any(writer.preferences_changed for writer in writers):
        others |= {watch.uid for watch in register.every_watch(db)}
    return touched, others


def _batch_of(db: Database, command: Command) -> str | None:
    """The batch this command was given in before, if it was."""
    record = command_log.find_command(db, command.uid)
    if record is None:
        return None
    if record["kind"] != type(command).__name__:
        raise Conflict(say("This uid already names another change; nothing was saved."))
    if record["undone_by"] is not None:
        raise Conflict(say("This was noted before and taken back since. Open the page anew to note it again."))
    batch: str = record["batch"]
    return batch


def _apply(db: Database, command: Command, batch: str, who: Who) -> Writer:
    writer = Writer(db, command.uid)
    command.apply(writer, who)
    writer.finish()
    command_log.record(
        db,
        {
            "uid": command.uid,
            "batch": batch,
            "kind": type(command).__name__,
            "payload": command.model_dump_json(),
            "before": as_text(writer.images),
            "person_uid": who.person_uid,
            "origin": who.origin,
            "at_utc": to_text(who.now),
            "zone": who.zone,
        },
    )
    return writer
