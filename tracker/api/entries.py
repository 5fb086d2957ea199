"""Entries of the log: the very fields of the command that noted each, and what was noted with it."""

from collections.abc import Mapping, Sequence
from typing import Any

from tracker.commands.base import EntryCommand
from tracker.commands.log import LogReading, LogService, LogSighting, LogWear, LogWind, LogWinder
from tracker.commands.sign import LogSign
from tracker.core.part import Part

NOTED_BY: dict[str, type[EntryCommand]] = {
    "winding": LogWind,
    "sighting": LogSighting,
    "wear": LogWear,
    "on_winder": LogWinder,
    "service": LogService,
    "timing_reading": LogReading,
    "bench_sign": LogSign,
}
"""By table of the log, the command that writes it."""
_OF_ROW = {"at": "at_utc", "noted_at": "noted_at_utc"}


def entry(row: Mapping[str, Any], parts: Mapping[str, Sequence[Part]]) -> dict[str, Any]:
    """An entry, from its row; `parts` are those of services, by uid. Nobody's name is told."""
    command = NOTED_BY[row["table"]]
    values = {name: row[_OF_ROW.get(name, name)] for name in fields_of(command) if name != "parts"}
    values |= {name: bool(values[name]) for name in values if command.model_fields[name].annotation is bool}
    if command is LogService:
        values["parts"] = tuple(parts.get(row["uid"], ()))
    told: dict[str, Any] = command.model_construct(None, **values).model_dump(
        mode="json", include={*values}, warnings=False
    )
    return {"command": command.__name__, **told, "noted_at": row["noted_at_utc"], "origin": row["origin"]}


def fields_of(command: type[EntryCommand]) -> list[str]:
    """The fields of a command that an entry tells: all but who wore it."""
    return [name for name in command.model_fields if name != "worn_by"]
