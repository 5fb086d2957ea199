"""The owner's preferences."""

import json
import re
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, field_validator
from pydantic_core import PydanticCustomError

from tracker import languages
from tracker.commands.base import Command, Who
from tracker.commands.fields import ShortText, Weekdays, Years, Zone, comma_as_point
from tracker.core.when import NoMoment, clock_time
from tracker.errors import Stale
from tracker.store.settings import read_settings
from tracker.store.writer import Writer
from tracker.words import Clock, Dates, Decimal, say

StopsAYear = Annotated[float, BeforeValidator(comma_as_point), Field(gt=0, le=1000, allow_inf_nan=False)]
MOST_ROUNDS = 12
"""More rounds than this in a day are no rounds."""


def _clock_times(typed: object) -> object:
    """Times on the clock, typed with commas or blanks between, as `07:30`, in order and without doubles."""
    words = re.split(r"[,;\s]+(?![ap]\.?m)", typed.strip(), flags=re.IGNORECASE) if isinstance(typed, str) else typed
    try:
        times = {clock_time(str(word)) for word in words if word} if isinstance(words, list | tuple) else None
    except NoMoment:
        times = None
    if times is None or len(times) > MOST_ROUNDS:
        raise PydanticCustomError("clock_times", "clock_times")
    return tuple(f"{each:%H:%M}" for each in sorted(times))


def _one_time(typed: object) -> object:
    """One time on the clock, as `22:00`, or none."""
    if typed is None or (isinstance(typed, str) and not typed.strip()):
        return ""
    try:
        return f"{clock_time(str(typed)):%H:%M}"
    except NoMoment as error:
        raise PydanticCustomError("clock_time", "clock_time") from error


def _base_address(typed: object) -> object:
    """Where these pages are reached from elsewhere: scheme, host and port, and nothing after them."""
    if not isinstance(typed, str) or not typed.strip():
        return ""
    text = typed.strip().rstrip("/")
    if not re.fullmatch(r"https?://([A-Za-z0-9.-]+|\[[0-9A-Fa-f:.]+\])(:\d{1,5})?", text, re.IGNORECASE):
        raise PydanticCustomError("base_address", "base_address")
    return text.lower()


def _whole_path(typed: object) -> object:
    """A folder of this machine from its root on, or none."""
    text = typed.strip() if isinstance(typed, str) else ""
    if text and (not Path(text).is_absolute() or not text.isprintable()):
        raise PydanticCustomError("whole_path", "whole_path")
    return text


def _steps(typed: object) -> object:
    """Names of first steps, typed with blanks between, without doubles."""
    words = typed.split() if isinstance(typed, str) else typed
    return tuple(dict.fromkeys(words)) if isinstance(words, list | tuple) else words


FirstStep = Literal["watches", "rounds", "reminders", "phone", "backup"]
"""What somebody new is led to: what is there, when they wind, how they are told, from where they reach it, what they lose nothing by."""
FirstSteps = Annotated[tuple[FirstStep, ...], BeforeValidator(_steps)]
ClockTime = Annotated[str, BeforeValidator(_one_time)]
ClockTimes = Annotated[tuple[str, ...], BeforeValidator(_clock_times)]


class Settings(BaseModel):
    """Every preference with its default."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    zone: Zone = "UTC"
    stops_a_year_time_only: StopsAYear = 12.0
    stops_a_year_date: StopsAYear = 4.0
    stops_a_year_calendar: StopsAYear = 0.05
    notice_h: Annotated[float, BeforeValidator(comma_as_point), Field(ge=0, le=72, allow_inf_nan=False)] = 3.0
    fall_percent: Annotated[float, BeforeValidator(comma_as_point), Field(ge=5, le=40, allow_inf_nan=False)] = 10.0
    service_interval_years: Years = None
    rounds_on_weekdays: ClockTimes = ("07:30",)
    rounds_at_weekends: ClockTimes = ("09:00",)
    quiet_from: ClockTime = ""
    quiet_to: ClockTime = ""
    bench_days: Weekdays = ()
    bench_from: ClockTime = "08:00"
    bench_to: ClockTime = "21:00"
    publish_states: bool = False
    base_address: Annotated[str, BeforeValidator(_base_address)] = ""
    backup_daily: bool = True
    backup_folder: Annotated[str, BeforeValidator(_whole_path), Field(max_length=500)] = ""
    workshop_name: ShortText = ""
    first_steps_settled: FirstSteps = ()
    language: ShortText = languages.ENGLISH
    clock: Clock = "24 h"
    dates: Dates = "year first"
    decimal: Decimal = "point"
    slack_min: Annotated[float, BeforeValidator(comma_as_point), Field(ge=0, le=720, allow_inf_nan=False)] = 30.0


SETTING_NAMES = tuple(Settings.model_fields)


class ChangeSettings(Settings, Command):
    """New values for every preference, in the version their sender saw."""

    version: int | None = None

    @field_validator("language")
    @classmethod
    def _there(cls, code: str) -> str:
        # Not asked of what stands in a collection: a file of a language may have gone since.
        if code not in languages.languages():
            raise PydanticCustomError("language", "language", {"codes": ", ".join(languages.languages())})
        return code

    def apply(self, writer: Writer, who: Who) -> None:  # noqa: ARG002 -- every command takes both
        current, version = read_settings(writer.db)
        if self.version is not None and self.version != version:
            raise Stale(
                say("The settings were changed since you opened them; nothing was saved. Look again, then repeat.")
            )
        for name, value in self.model_dump(mode="json", include={*SETTING_NAMES}).items():
            if current.get(name) != value:
                writer.edit("setting", name, None, {"value": json.dumps(value)})
