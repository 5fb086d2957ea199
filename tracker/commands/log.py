"""Entries for the log: windings, sightings, wear, services, and taking one out."""

from datetime import timedelta
from typing import Any, Self

from pydantic import PrivateAttr, model_validator
from pydantic_core import PydanticCustomError

from tracker.commands.base import Command, EntryCommand, Who
from tracker.commands.fields import (
    Amplitude,
    BeatError,
    DayOfMonth,
    LiftAngle,
    NotNegative,
    PositionRead,
    Positive,
    ProgrammeDay,
    Rate,
    ShortText,
    ShownText,
    SinceWind,
    Temperature,
    Text,
    Uid,
    Vibrations,
)
from tracker.commands.parts import Parts
from tracker.core.timeline import Amount, Found, Hands, Seen, WearAct, WinderAct
from tracker.core.timing import Occasion
from tracker.core.watch import Watch
from tracker.errors import BadInput, NotFound
from tracker.store import log, register, services
from tracker.store.moments import to_text
from tracker.store.writer import Writer
from tracker.uids import uid_of
from tracker.words import say

CLOCKS_DIFFER = timedelta(minutes=5)
"""How far ahead a phone's clock may run before its entry counts as lying in the future."""


def _watch(writer: Writer, uid: str) -> Watch:
    watch = register.watch(writer.db, uid)
    if watch is None:
        raise NotFound(say("There is no such watch, or no longer."))
    return watch


def write_entry(command: EntryCommand, writer: Writer, who: Who, table: str, columns: dict[str, Any]) -> None:
    """Insert the row of an entry and take out the one it replaces."""
    if command.at > who.now + CLOCKS_DIFFER:
        raise BadInput(
            say("This time lies in the future."), field="at", accepted=say("An entry tells what has happened already.")
        )
    _watch(writer, command.watch_uid)
    if command.replaces is not None:
        VoidEntry(uid=command.uid, entry_uid=command.replaces).apply(writer, who)
    writer.insert(
        table,
        {
            "uid": command.uid,
            "watch_uid": command.watch_uid,
            "at_utc": to_text(command.at),
            "zone": command.zone,
            "within_min": command.within_min,
            "noted_at_utc": to_text(who.now),
            "person_uid": who.person_uid,
            "origin": who.origin,
            "note": command.note,
            "replaces": command.replaces,
            **columns,
        },
    )


def _flags(command: EntryCommand, *names: str) -> dict[str, int]:
    return {name: int(getattr(command, name)) for name in names}


def _check_dial(shown: str | None, dial_hours: int) -> None:
    if shown is not None and int(shown.split(":")[0]) > dial_hours:
        raise BadInput(
            say("A dial of {hours} hours can't show {shown}.", hours=dial_hours, shown=shown),
            field="shown",
            accepted=say("Give the time on the hands as it stands there, such as 4:37 or 437."),
        )


class LogWind(EntryCommand):
    """The watch was wound.

    Since the winding noted before it was not wound (`nothing_between`), its chronograph ran or its alarm rang
    (`side_spring_used`).
    """

    amount: Amount = "full"
    crown_turns: Positive = None
    found: Found = "not noticed"
    hands: Hands = "unknown"
    date_set: bool = False
    nothing_between: bool = False
    side_spring_used: bool = False
    shown: ShownText = None
    shown_date: DayOfMonth = None

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        if self.shown is not None and self.found != "stopped":
            raise PydanticCustomError("shown_while_going", "shown_while_going")
        if self.hands == "left" and self.found == "stopped":
            raise PydanticCustomError("left_while_stopped", "left_while_stopped")
        if self.hands == "not set" and self.found == "going":
            raise PydanticCustomError("not_set_while_going", "not_set_while_going")
        return self

    def apply(self, writer: Writer, who: Who) -> None:
        _check_dial(self.shown, _watch(writer, self.watch_uid).dial_hours)
        columns = self.model_dump(include={"amount", "crown_turns", "found", "hands", "shown", "shown_date"})
        write_entry(
            self, writer, who, "winding", columns | _flags(self, "date_set", "nothing_between", "side_spring_used")
        )


class LogSighting(EntryCommand):
    """The watch was looked at; `nothing_between` and `side_spring_used` as in `LogWind`."""

    seen: Seen
    shown: ShownText = None
    shown_date: DayOfMonth = None
    indicator_reading: NotNegative = None
    nothing_between: bool = False
    side_spring_used: bool = False

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        if self.shown is not None and self.seen != "stopped":
            raise PydanticCustomError("shown_while_going", "shown_while_going")
        if self.seen == "not noticed" and self.indicator_reading is None:
            raise PydanticCustomError("nothing_seen", "nothing_seen")
        return self

    def apply(self, writer: Writer, who: Who) -> None:
        watch = _watch(writer, self.watch_uid)
        _check_dial(self.shown, watch.dial_hours)
        self._check_indicator(watch)
        columns = self.model_dump(include={"seen", "shown", "shown_date", "indicator_reading"})
        write_entry(self, writer, who, "sighting", columns | _flags(self, "nothing_between", "side_spring_used"))

    def _check_indicator(self, watch: Watch) -> None:
        if self.indicator_reading is None:
            return
        if watch.indicator == "none":
            raise BadInput(
                say("{nickname} has no reserve indicator in the register.", nickname=watch.nickname),
                field="indicator_reading",
                accepted=say("Edit the watch first if it has one."),
            )
        if watch.indicator == "fraction" and self.indicator_reading > 1:
            raise BadInput(
                say("This indicator shows a fraction."),
                field="indicator_reading",
                accepted=say("Give a number from 0 to 1."),
            )


class Moved(EntryCommand):
    """The watch went to the wrist or to a winder, or left it; that may bring other notes of wear (see `changeover`)."""

    _as_it_stands: bool = PrivateAttr(default=False)

    @property
    def as_it_stands(self) -> bool:
        """Whether it brings nothing: it comes from a collection that knows already what it brought."""
        return self._as_it_stands

    def standing(self) -> Self:
        """This command as it stands."""
        self._as_it_stands = True
        return self


class LogWear(Moved):
    """The watch was put on or laid down; put on, it brings the laying down of the one worn before."""

    act: WearAct
    worn_by: Uid | None = None

    def apply(self, writer: Writer, who: Who) -> None:
        worn_by = self.worn_by or who.person_uid
        if not register.knows_person(writer.db, worn_by):
            raise NotFound(say("There is no such person, or no longer."))
        write_entry(self, writer, who, "wear", {"act": self.act, "worn_by": worn_by})


class LogWinder(Moved):
    """The watch was put on a winder or taken off it; worn until then, it is laid down by that.

    `turns_a_day` are those that it gets there in the directions that wind it, if known.
    """

    act: WinderAct
    turns_a_day: Positive = None

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        if self.act == "off" and self.turns_a_day is not None:
            raise PydanticCustomError("turns_when_taken_off", "turns_when_taken_off")
        return self

    def apply(self, writer: Writer, who: Who) -> None:
        watch = _watch(writer, self.watch_uid)
        if not watch.by_rotor:
            raise BadInput(
                say("{nickname} has no rotor in the register: a winder can't wind it.", nickname=watch.nickname),
                field="watch_uid",
                accepted=say("Edit the watch first if it has one."),
            )
        write_entry(self, writer, who, "on_winder", self.model_dump(include={"act", "turns_a_day"}))


class LogService(EntryCommand):
    """The watch came back from service: what for, what was done by whom, with which parts and lubricants, for how much."""

    occasion: ShortText = ""
    work_done: Text = ""
    parts: Parts = ()
    lubricants: Text = ""
    done_by: ShortText = ""
    cost: ShortText = ""

    def apply(self, writer: Writer, who: Who) -> None:
        columns = self.model_dump(include={"occasion", "work_done", "lubricants", "done_by", "cost"})
        write_entry(self, writer, who, "service", columns)
        for ordinal, part in enumerate(self.parts, start=1):
            uid = uid_of(self.uid, "part", str(ordinal))
            writer.insert("service_part", {"uid": uid, "service_uid": self.uid, **services.part_columns(part, ordinal)})


class LogReading(EntryCommand):
    """A timing reading in one position; at least one of rate, amplitude and beat error was read.

    Without a lift angle that of the register counts, else it is assumed. A day of the programme of ISO 3159 has a rate.
    """

    position: PositionRead
    occasion: Occasion = "in between"
    since_wind_min: SinceWind = None
    rate_s_per_day: Rate = None
    amplitude_deg: Amplitude = None
    beat_error_ms: BeatError = None
    lift_angle_deg: LiftAngle = None
    vibrations_per_hour: Vibrations = None
    temperature_c: Temperature = None
    programme_day: ProgrammeDay = None

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        if self.rate_s_per_day is None and self.amplitude_deg is None and self.beat_error_ms is None:
            raise PydanticCustomError("nothing_read", "nothing_read")
        if self.programme_day is not None and self.rate_s_per_day is None:
            raise PydanticCustomError("day_without_rate", "day_without_rate")
        return self

    def apply(self, writer: Writer, who: Who) -> None:
        columns = self.model_dump(include=set(LogReading.model_fields) - set(EntryCommand.model_fields))
        watch = _watch(writer, self.watch_uid)
        columns["lift_angle_deg"] = self.lift_angle_deg or watch.lift_angle_deg
        columns["vibrations_per_hour"] = self.vibrations_per_hour or watch.vibrations_per_hour
        write_entry(self, writer, who, "timing_reading", columns)


class VoidEntry(Command):
    """An entry is taken out of the log, as if it had never been made; the row stays readable."""

    entry_uid: Uid

    def apply(self, writer: Writer, who: Who) -> None:  # noqa: ARG002 -- every command takes both
        row = log.find_entry(writer.db, self.entry_uid)
        if row is None:
            raise NotFound(say("There is no such entry, or no longer."))
        writer.void(row["table"], self.entry_uid)
