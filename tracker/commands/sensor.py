"""Setting up sensors, and saying which watch lies on which."""

import re
from datetime import UTC, datetime
from typing import Annotated, Literal, Self

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, StringConstraints, model_validator
from pydantic_core import PydanticCustomError

from sensors.counter import Told
from sensors.payload import Written
from sensors.pointer import tokens
from sensors.sensor import Assignment, Sensor, SensorKind
from tracker.commands.base import Command, Who
from tracker.commands.fields import Moment, Nickname, Positive, Text, Uid, blank_as_none, comma_as_point
from tracker.commands.log import CLOCKS_DIFFER
from tracker.errors import BadInput, Conflict, NotFound
from tracker.store import register
from tracker.store import sensors as shelf
from tracker.store.moments import to_text
from tracker.store.worn import was_taken_away
from tracker.store.writer import Writer
from tracker.words import say

Reports = Literal["boolean", "level", "beats", "counter", "increments", "turning", "power"]
OF_REST: tuple[Reports, ...] = ("boolean", "level", "beats")
LONGEST_TOPIC = 65_535
LEAST_TOLERANCE, MOST_TOLERANCE = 0.001, 0.3


def _topic(typed: str) -> str:
    """A topic filter by MQTT 5.0, 4.7.1: `#` alone at the end, `+` alone on its level, no NUL, 65,535 bytes at most."""
    levels = typed.split("/")
    wild = any("#" in level for level in levels[:-1]) or ("#" in levels[-1] and levels[-1] != "#")
    # A shared subscription deals the messages out among several: no sensor may be heard by halves.
    if not typed or wild or typed.startswith("$share/") or any("+" in level and level != "+" for level in levels):
        raise PydanticCustomError("topic", "topic")
    if "\0" in typed or len(typed.encode("utf-8", "replace")) > LONGEST_TOPIC:
        raise PydanticCustomError("topic", "topic")
    return typed


def _pointer(typed: str) -> str:
    try:
        tokens(typed)
    except BadInput as error:
        raise PydanticCustomError("pointer", "pointer") from error
    return typed


def _word_list(typed: object) -> object:
    if isinstance(typed, str | list | tuple):
        words = re.split(r"[,\n]", typed) if isinstance(typed, str) else [str(word) for word in typed]
        return ",".join(dict.fromkeys(word.strip() for word in words if word.strip()))
    return typed


Topic = Annotated[str, StringConstraints(strip_whitespace=True), AfterValidator(_topic)]
Pointer = Annotated[str, StringConstraints(strip_whitespace=True, max_length=1000), AfterValidator(_pointer)]
PointerOrNone = Annotated[Pointer | None, BeforeValidator(blank_as_none)]
WordList = Annotated[str, BeforeValidator(_word_list), StringConstraints(max_length=400)]
Level = Annotated[
    Annotated[float, Field(allow_inf_nan=False)] | None, BeforeValidator(comma_as_point), BeforeValidator(blank_as_none)
]
Watts = Annotated[
    Annotated[float, Field(ge=0, le=100_000, allow_inf_nan=False)] | None,
    BeforeValidator(comma_as_point),
    BeforeValidator(blank_as_none),
]
Seconds = Annotated[float, BeforeValidator(comma_as_point), Field(gt=0, le=86_400, allow_inf_nan=False)]
Tolerance = Annotated[
    float, BeforeValidator(comma_as_point), Field(ge=LEAST_TOLERANCE, le=MOST_TOLERANCE, allow_inf_nan=False)
]


class SensorFields(BaseModel):
    """How a sensor is set up; which fields are needed goes by what it reports."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    name: Nickname
    kind: SensorKind = "rest"
    topic: Topic
    written: Written = "plain"
    value_at: Pointer = ""
    time_at: PointerOrNone = None
    direction_at: PointerOrNone = None
    record: Annotated[str, StringConstraints(strip_whitespace=True, max_length=1000)] = ""
    going_words: WordList = ""
    stopped_words: WordList = ""
    clockwise_words: WordList = ""
    anticlockwise_words: WordList = ""
    reports: Reports = "boolean"
    upper: Level = None
    lower: Level = None
    vibrations_per_hour: Positive = None
    tolerance: Tolerance = 0.05
    window_s: Seconds = 10.0
    per_turn: Positive = None
    wraps_at: Positive = None
    restarts_at_zero: bool = False
    turns_per_min: Positive = None
    above_w: Watts = None
    direction: Told = "not known"
    expected_s: Seconds
    confirm_readings: Annotated[int, Field(ge=1, le=1000)] = 3
    confirm_s: Annotated[float, BeforeValidator(comma_as_point), Field(ge=0, le=86_400, allow_inf_nan=False)] = 120.0

    @model_validator(mode="after")
    def _is_whole(self) -> Self:
        if (self.reports in OF_REST) != (self.kind == "rest"):
            raise PydanticCustomError("reports_of_kind", "reports_of_kind")
        if self.written == "senml" and not self.record:
            raise PydanticCustomError("record", "record")
        if self.reports == "level" and (self.upper is None or self.lower is None or self.lower >= self.upper):
            raise PydanticCustomError("thresholds", "thresholds")
        if self.reports in {"turning", "power"} and self.turns_per_min is None:
            raise PydanticCustomError("turns_per_min", "turns_per_min")
        if self.reports == "power" and self.above_w is None:
            raise PydanticCustomError("above_w", "above_w")
        return self


SENSOR_FIELDS = tuple(SensorFields.model_fields)


def _columns(fields: SensorFields) -> dict[str, object]:
    values = {name: getattr(fields, name) for name in SENSOR_FIELDS}
    return values | {"restarts_at_zero": int(fields.restarts_at_zero)}


def _check_name_free(writer: Writer, name: str, *, own_uid: str) -> None:
    other = shelf.sensor_named(writer.db, name)
    if other is not None and other.uid != own_uid:
        where = say("put away") if other.archived else say("in use")
        raise BadInput(
            say("There is already a sensor called “{name}” ({where}).", name=name, where=where),
            field="name",
            accepted=say("Choose another name."),
        )


class AddSensor(SensorFields, Command):
    """A sensor is set up; the command's uid becomes the sensor's."""

    def apply(self, writer: Writer, who: Who) -> None:
        _check_name_free(writer, self.name, own_uid=self.uid)
        writer.insert("sensor", {"uid": self.uid, **_columns(self), "added_utc": to_text(who.now)})


class OfSensor(Command):
    """A command about one sensor, in the version its sender saw."""

    sensor_uid: Uid
    version: int | None = None

    def edit(self, writer: Writer, columns: dict[str, object]) -> None:
        """Change these columns of the sensor."""
        _sensor(writer, self.sensor_uid)
        writer.edit("sensor", self.sensor_uid, self.version, columns)


class EditSensor(SensorFields, OfSensor):
    """A new set-up of a sensor, whole."""

    def apply(self, writer: Writer, who: Who) -> None:  # noqa: ARG002 -- every command takes both
        _check_name_free(writer, self.name, own_uid=self.sensor_uid)
        self.edit(writer, _columns(self))


class ArchiveSensor(OfSensor):
    """The sensor is put away: it is listened to no longer, and no watch lies on it; what it said is kept."""

    def apply(self, writer: Writer, who: Who) -> None:
        if _sensor(writer, self.sensor_uid).archived:
            raise Conflict(say("This sensor is put away already."))
        self.edit(writer, {"archived_utc": to_text(who.now)})
        for stay in _open(shelf.assignments(writer.db, sensor_uid=self.sensor_uid)):
            _end(writer, stay, to_text(who.now))


class BringBackSensor(OfSensor):
    """A sensor that was put away is listened to again."""

    def apply(self, writer: Writer, who: Who) -> None:  # noqa: ARG002 -- every command takes both
        if not _sensor(writer, self.sensor_uid).archived:
            raise Conflict(say("This sensor is in use already."))
        self.edit(writer, {"archived_utc": None})


class LayOnSensor(Command):
    """A watch lies on a sensor from a moment on; what lay there before, and where it lay itself, ends then."""

    sensor_uid: Uid
    watch_uid: Uid
    at: Moment
    note: Text = ""

    def apply(self, writer: Writer, who: Who) -> None:
        at = _past(self.at, who)
        if _sensor(writer, self.sensor_uid).archived:
            raise Conflict(say("This sensor is put away; bring it back first."))
        if register.watch(writer.db, self.watch_uid) is None:
            raise NotFound(say("There is no such watch, or no longer."))
        kind = _sensor(writer, self.sensor_uid).kind
        there = shelf.assignments(writer.db, sensor_uid=self.sensor_uid)
        elsewhere = [
            stay
            for stay in shelf.assignments(writer.db, watch_uid=self.watch_uid)
            if stay.sensor_uid != self.sensor_uid and _sensor(writer, stay.sensor_uid).kind == kind
        ]
        for stay in _open([*there, *elsewhere]):
            if stay.from_s > at.timestamp():
                raise Conflict(
                    say("A later entry already says which watch lies where. Give a later time, or undo that entry.")
                )
            same = stay.sensor_uid == self.sensor_uid and stay.watch_uid == self.watch_uid
            # Worn or on a winder meanwhile, it was not heard: that it lies there again is news.
            if same and not was_taken_away(
                writer.db, self.watch_uid, to_text(datetime.fromtimestamp(stay.from_s, UTC))
            ):
                raise Conflict(say("It lies there already."))
            _end(writer, stay, to_text(at))
        if any(stay.to_s is not None and stay.to_s > at.timestamp() for stay in [*there, *elsewhere]):
            raise Conflict(say("At that time another watch lay there, or this one lay elsewhere. Give a later time."))
        writer.insert(
            "sensor_watch",
            {"uid": self.uid, "sensor_uid": self.sensor_uid, "watch_uid": self.watch_uid, "from_utc": to_text(at)},
        )


class TakeOffSensor(Command):
    """What lay on a sensor was taken off it at a moment."""

    sensor_uid: Uid
    at: Moment

    def apply(self, writer: Writer, who: Who) -> None:
        at = _past(self.at, who)
        stays = _open(shelf.assignments(writer.db, sensor_uid=self.sensor_uid))
        if not stays:
            raise Conflict(say("No watch is noted to lie there."))
        for stay in stays:
            if stay.from_s > at.timestamp():
                raise BadInput(say("It was laid there after that time."), field="at", accepted=say("Give a later one."))
            _end(writer, stay, to_text(at))


def _sensor(writer: Writer, uid: str) -> Sensor:
    found = shelf.sensor(writer.db, uid)
    if found is None:
        raise NotFound(say("There is no such sensor, or no longer."))
    return found


def _past(at: Moment, who: Who) -> Moment:
    if at > who.now + CLOCKS_DIFFER:
        raise BadInput(
            say("This time lies in the future."), field="at", accepted=say("An entry tells what has happened already.")
        )
    return at


def _open(stays: list[Assignment]) -> list[Assignment]:
    return [stay for stay in stays if stay.to_s is None]


def _end(writer: Writer, stay: Assignment, at: str) -> None:
    writer.edit("sensor_watch", stay.uid, None, {"to_utc": at})
