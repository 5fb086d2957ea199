"""The owner's preferences."""

import json
from typing import Annotated

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field
from pydantic_core import PydanticCustomError

from tracker.commands.base import Command, Who
from tracker.commands.fields import Zone, blank_as_none, comma_as_point
from tracker.errors import Conflict
from tracker.store.settings import read_settings
from tracker.store.writer import Writer
from tracker.words import say

StopsAYear = Annotated[float, BeforeValidator(comma_as_point), Field(gt=0, le=1000, allow_inf_nan=False)]
IntervalYears = Annotated[
    Annotated[float, Field(ge=1, le=50, allow_inf_nan=False)] | None,
    BeforeValidator(comma_as_point),
    BeforeValidator(blank_as_none),
]
ACCEPTED_SCHEMES = ("http://", "https://", "mailto://", "mailtos://")


def _address(typed: object) -> object:
    """A webhook or mail address; schemes that touch this machine's files or desktop are not for messages."""
    if not isinstance(typed, str) or not typed.strip():
        return ""
    text = typed.strip()
    if not text.lower().startswith(ACCEPTED_SCHEMES) or len(text.split("://", 1)[1]) == 0:
        raise PydanticCustomError("address", "address")
    return text


class Settings(BaseModel):
    """Every preference with its default."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    zone: Zone = "UTC"
    stops_a_year_time_only: StopsAYear = 12.0
    stops_a_year_date: StopsAYear = 4.0
    stops_a_year_calendar: StopsAYear = 0.05
    notice_h: Annotated[float, BeforeValidator(comma_as_point), Field(ge=0, le=72, allow_inf_nan=False)] = 3.0
    remind_address: Annotated[str, BeforeValidator(_address)] = ""
    fall_percent: Annotated[float, BeforeValidator(comma_as_point), Field(ge=5, le=40, allow_inf_nan=False)] = 10.0
    service_interval_years: IntervalYears = None


SETTING_NAMES = tuple(Settings.model_fields)


class ChangeSettings(Settings, Command):
    """New values for every preference, in the version their sender saw."""

    version: int | None = None

    def apply(self, writer: Writer, who: Who) -> None:  # noqa: ARG002 -- every command takes both
        current, version = read_settings(writer.db)
        if self.version is not None and self.version != version:
            raise Conflict(
                say("The settings were changed since you opened them; nothing was saved. Look again, then repeat.")
            )
        for name in SETTING_NAMES:
            value = getattr(self, name)
            if current.get(name) != value:
                writer.edit("setting", name, None, {"value": json.dumps(value)})
