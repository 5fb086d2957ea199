"""Run-down tests: begun with a full wind that is in the log, ended by a stop or broken off."""

from collections.abc import Iterator
from typing import Self

from pydantic import model_validator
from pydantic_core import PydanticCustomError
from sqlite_utils import Database

from tracker.commands.base import Command, Who
from tracker.commands.fields import ShortText, Text, Uid
from tracker.commands.log import LogService, LogSighting, LogWear, LogWind, LogWinder
from tracker.core.benchtest import EndedTestBy, Occasion, Position
from tracker.core.timeline import ONE_ACT
from tracker.errors import BadInput, Conflict, NotFound
from tracker.store import benchtests, choices, register
from tracker.store.moments import to_text
from tracker.store.writer import Writer
from tracker.uids import uid_of
from tracker.words import say


class StartTest(Command):
    """This watch is to run down from its newest winding, `wind_uid`, a full one; a test of it that goes on ends."""

    watch_uid: Uid
    wind_uid: Uid
    occasion: Occasion = "in between"
    position: Position = ""
    note: Text = ""

    def apply(self, writer: Writer, who: Who) -> None:
        if register.watch(writer.db, self.watch_uid) is None:
            raise NotFound(say("There is no such watch, or no longer."))
        wind = benchtests.as_it_stands(writer.db, self.wind_uid)
        if wind is None or choices.newest_wind(writer.db, self.watch_uid) != wind["uid"]:
            raise Conflict(say("It was wound again since, or that winding was taken out; look again, then repeat."))
        if wind["amount"] != "full":
            raise BadInput(
                say("A run-down test begins with a full wind."),
                field="wind_uid",
                accepted=say("Wind it fully first."),
            )
        former = benchtests.running_of(writer.db, self.watch_uid)
        if former is not None:
            EndTest(test_uid=former.uid, reason="a new test was begun").apply(writer, who)
        writer.insert(
            "bench_test",
            {
                "uid": self.uid,
                "watch_uid": self.watch_uid,
                "wind_uid": self.wind_uid,
                "occasion": self.occasion,
                "position": self.position or None,
                "note": self.note,
                "noted_at_utc": to_text(who.now),
                "person_uid": who.person_uid,
                "origin": who.origin,
            },
        )


class EndTest(Command):
    """A test is over: its watch has stopped, or it is broken off for a reason. What it found is read off the log."""

    test_uid: Uid
    how: EndedTestBy = "broken off"
    reason: ShortText = ""

    @model_validator(mode="after")
    def _has_a_reason(self) -> Self:
        if self.how == "broken off" and not self.reason:
            raise PydanticCustomError("test_reason", "test_reason")
        return self

    def apply(self, writer: Writer, who: Who) -> None:
        test = benchtests.bench_test(writer.db, self.test_uid)
        if test is None:
            raise NotFound(say("There is no such test, or no longer."))
        if test.ended_at is not None:
            raise Conflict(say("This test is over already."))
        ended = {"ended_utc": to_text(who.now), "ended_by": self.how, "reason": self.reason}
        writer.edit("bench_test", self.test_uid, None, ended)


def ended_with(db: Database, command: Command) -> Iterator[EndTest]:
    """The end of a run-down test that a note of the log brings: its stop was read, or its run was broken off."""
    if not isinstance(command, LogWind | LogSighting | LogWear | LogWinder | LogService) or command.replaces:
        return
    test = benchtests.running_of(db, command.watch_uid)
    if test is None or test.wound_at is None or command.at <= test.wound_at:
        return
    if isinstance(command, LogWind) and command.at - test.wound_at <= ONE_ACT:
        return
    ended = _how(command, by_rotor=_by_rotor(db, command.watch_uid))
    if ended is not None:
        yield EndTest(uid=uid_of(command.uid, test.uid, "ended"), test_uid=test.uid, how=ended[0], reason=ended[1])


def _by_rotor(db: Database, watch_uid: str) -> bool:
    watch = register.watch(db, watch_uid)
    return watch is not None and watch.by_rotor


def _how(command: Command, *, by_rotor: bool) -> tuple[EndedTestBy, str] | None:
    """How this note ends a test and why; None if the test goes on: a watch found standing is to have its hands read yet."""
    if isinstance(command, LogSighting):
        if command.seen == "stopped on purpose":
            return "broken off", "stopped on purpose"
        return ("stop read", "") if command.seen == "stopped" and command.shown else None
    if isinstance(command, LogWind):
        if command.found == "stopped":
            return ("stop read" if command.shown else "stop seen"), ""
        return "broken off", "wound again"
    if isinstance(command, LogService):
        return "broken off", "handed in for service"
    moved = by_rotor and (command.act == "put on" if isinstance(command, LogWear) else True)
    return ("broken off", "worn, or on a winder") if moved else None
