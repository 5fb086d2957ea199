"""Registering, editing and archiving watches."""

from datetime import date
from typing import Annotated, Self
from zoneinfo import ZoneInfo

from pydantic import BaseModel, BeforeValidator, ConfigDict, model_validator
from pydantic_core import PydanticCustomError

from tracker.commands.base import Command, Who
from tracker.commands.fields import (
    Day,
    LiftAngle,
    Nickname,
    Positive,
    ReserveHours,
    ShortText,
    Text,
    Uid,
    Vibrations,
    Weekdays,
    WholePositive,
    Years,
    blank_as_none,
)
from tracker.core.watch import (
    DialHours,
    Habit,
    Indicator,
    Reach,
    ReserveClass,
    Stake,
    Watch,
    WinderWay,
    WoundBy,
)
from tracker.errors import BadInput, Conflict, NotFound
from tracker.store import register
from tracker.store.moments import to_text
from tracker.store.writer import Writer
from tracker.words import say


def _dial(typed: object) -> object:
    return {"12": 12, "24": 24}.get(typed.strip(), typed) if isinstance(typed, str) else typed


class WatchFields(BaseModel):
    """What the owner can say of a watch."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    nickname: Nickname
    wound_by: WoundBy = "crown"
    crown_turns_to_full: Positive = None
    stated_reserve_h: ReserveHours = None
    reserve_class: Annotated[ReserveClass | None, BeforeValidator(blank_as_none)] = None
    least_reserve_h: ReserveHours = None
    indicator: Indicator = "none"
    dial_hours: Annotated[DialHours, BeforeValidator(_dial)] = 12
    date_window: bool = False
    setting_details: Text = ""
    habit: Habit = "when worn"
    habit_weekdays: Weekdays = ()
    habit_every_days: WholePositive = None
    stake: Stake = "time only"
    place: ShortText = ""
    reach: Reach = "at hand"
    belongs_to: ShortText = ""
    job_number: ShortText = ""
    came_in: Day = None
    promised_for: Day = None
    went_out: Day = None
    service_every_years: Years = None
    lift_angle_deg: LiftAngle = None
    service_due_on: Day = None
    calibre: ShortText = ""
    vibrations_per_hour: Vibrations = None
    other_springs: ShortText = ""
    screw_down_crown: bool = False
    looks_offered: bool = False
    winder_turns_a_day: Positive = None
    winder_way: Annotated[WinderWay | None, BeforeValidator(blank_as_none)] = None
    winder_pause_h: Positive = None
    wear_fills_h: Positive = None
    note: Text = ""
    value: ShortText = ""
    serial: ShortText = ""

    @model_validator(mode="after")
    def _habit_is_whole(self) -> Self:
        if self.habit == "on weekdays" and not self.habit_weekdays:
            raise PydanticCustomError("habit_weekdays", "habit_weekdays")
        if self.habit == "every n days" and self.habit_every_days is None:
            raise PydanticCustomError("habit_every_days", "habit_every_days")
        return self

    @model_validator(mode="after")
    def _job_is_whole(self) -> Self:
        if not self.job_number and (self.came_in or self.promised_for or self.went_out):
            raise PydanticCustomError("dates_without_job", "dates_without_job")
        if self.came_in and self.promised_for and self.promised_for < self.came_in:
            raise PydanticCustomError("promised_before_in", "promised_before_in")
        if self.came_in and self.went_out and self.went_out < self.came_in:
            raise PydanticCustomError("out_before_in", "out_before_in")
        return self


FIELD_NAMES = tuple(WatchFields.model_fields)


def _check_nickname_free(writer: Writer, nickname: str, *, own_uid: str) -> None:
    other = register.watch_named(writer.db, nickname)
    if other is not None and other.uid != own_uid:
        where = say("put away") if other.archived_at else say("in the collection")
        raise BadInput(
            say("There is already a watch called “{nickname}” ({where}).", nickname=nickname, where=where),
            field="nickname",
            accepted=say("Choose another nickname."),
        )


def _check_past(day: date | None, field: str, who: Who) -> None:
    if day is not None and day > who.now.astimezone(ZoneInfo(who.zone)).date():
        raise BadInput(say("This day lies in the future."), field=field, accepted=say("Give today, or a day before."))


class RegisterWatch(WatchFields, Command):
    """A watch joins the collection; the command's uid becomes the watch's."""

    def apply(self, writer: Writer, who: Who) -> None:
        _check_nickname_free(writer, self.nickname, own_uid=self.uid)
        _check_past(self.came_in, "came_in", who)
        _check_past(self.went_out, "went_out", who)
        columns = register.watch_columns({name: getattr(self, name) for name in FIELD_NAMES})
        writer.insert("watch", {"uid": self.uid, **columns, "added_utc": to_text(who.now)})


class OfWatch(Command):
    """A command about one watch, in the version its sender saw."""

    watch_uid: Uid
    version: int | None = None

    def edit(self, writer: Writer, columns: dict[str, object]) -> None:
        """Change these columns of the watch."""
        watch = register.watch(writer.db, self.watch_uid)
        if watch is None:
            raise NotFound(say("There is no such watch, or no longer."))
        writer.edit("watch", self.watch_uid, self.version, columns)


class EditWatch(WatchFields, OfWatch):
    """New values for every field of a watch."""

    def apply(self, writer: Writer, who: Who) -> None:
        _check_nickname_free(writer, self.nickname, own_uid=self.watch_uid)
        _check_past(self.came_in, "came_in", who)
        _check_past(self.went_out, "went_out", who)
        self.edit(writer, register.watch_columns({name: getattr(self, name) for name in FIELD_NAMES}))


class ArchiveWatch(OfWatch):
    """The watch is put away: out of lists and rounds, its history kept."""

    def apply(self, writer: Writer, who: Who) -> None:
        watch = register.watch(writer.db, self.watch_uid)
        if watch is not None and watch.archived_at is not None:
            raise Conflict(say("{nickname} is put away already.", nickname=watch.nickname))
        self.edit(writer, {"archived_utc": to_text(who.now)})


class BringBackWatch(OfWatch):
    """A watch that was put away returns to the collection."""

    def apply(self, writer: Writer, who: Who) -> None:  # noqa: ARG002 -- every command takes both
        watch = register.watch(writer.db, self.watch_uid)
        if watch is not None and watch.archived_at is None:
            raise Conflict(say("{nickname} is in the collection already.", nickname=watch.nickname))
        self.edit(writer, {"archived_utc": None})


class HandBack(OfWatch):
    """A customer's watch went out: its log is kept, and nothing more is asked about it."""

    went_out: Day

    def apply(self, writer: Writer, who: Who) -> None:
        watch = register.watch(writer.db, self.watch_uid)
        if watch is not None:
            self._check(watch, who)
        self.edit(writer, register.watch_columns({"went_out": self.went_out}))

    def _check(self, watch: Watch, who: Who) -> None:
        if not watch.customers:
            raise BadInput(
                say("{nickname} is no customer's watch.", nickname=watch.nickname),
                field="watch_uid",
                accepted=say("Give it the number of its job first."),
            )
        if watch.went_out is not None:
            raise Conflict(say("{nickname} went out already.", nickname=watch.nickname))
        if self.went_out is None:
            raise BadInput(say("This is needed."), field="went_out", accepted=say("Give the day it went out."))
        _check_past(self.went_out, "went_out", who)
        if watch.came_in is not None and self.went_out < watch.came_in:
            raise BadInput(
                say("This lies before it came in."),
                field="went_out",
                accepted=say("Give the day it came in, or a later one."),
            )
