"""What is kept beside the register, with the version that an edit names: the very fields of its commands, and its own."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from pydantic import BaseModel

from tracker.api.answers import Answer
from tracker.collection import Preferences
from tracker.commands.barrel import FIELD_NAMES, BarrelFields
from tracker.commands.sensor import SENSOR_FIELDS, SensorFields
from tracker.commands.settings import Settings
from tracker.store.barrels import KeptRow


class KeptSensor(SensorFields):
    """A sensor as it was set up, and the watch that lies there."""

    uid: str
    version: int
    put_away: bool
    watch_uid: str | None


class KeptBarrel(BarrelFields):
    """What the bench knows of a watch's barrel."""

    uid: str
    watch_uid: str
    version: int


class KeptSettings(Settings):
    """The owner's preferences."""

    version: int


class File(Answer):
    """A photograph or PDF that goes with a watch or an entry of its log."""

    uid: str
    of_uid: str
    sha256: str
    media_type: str
    size_bytes: int
    title: str
    noted_at: datetime


class Portrait(Answer):
    """A photograph of a watch."""

    uid: str
    watch_uid: str
    sha256: str
    small_sha256: str
    size_bytes: int
    noted_at: datetime


class Reminder(Answer):
    """A reminder that is due, and about what it is."""

    uid: str
    kind: str
    subject_uid: str
    due: datetime
    useful_until: datetime


def of_row(model: type[Answer], row: Mapping[str, Any]) -> dict[str, Any]:
    """What a model tells of a row; its moments are those of columns that end in `_utc`."""
    values = {name: row[name] if name in row else row[f"{name}_utc"] for name in model.model_fields}
    return model.model_validate(values).model_dump(mode="json")


def sensor(row: dict[str, Any], watch_uid: str | None) -> dict[str, Any]:
    """A sensor, from its row."""
    fields = {name: row[name] for name in SENSOR_FIELDS} | {"restarts_at_zero": bool(row["restarts_at_zero"])}
    own = {"uid": row["uid"], "version": row["version"], "put_away": row["archived_utc"] is not None}
    return _as_it_stands(KeptSensor, fields | own | {"watch_uid": watch_uid})


def barrel(row: KeptRow) -> dict[str, Any]:
    """A barrel, from its row."""
    fields = {name: getattr(row.kept, name) for name in FIELD_NAMES}
    return _as_it_stands(KeptBarrel, fields | {"uid": row.uid, "watch_uid": row.watch_uid, "version": row.version})


def settings(found: Preferences) -> dict[str, Any]:
    """The preferences."""
    return found.values.model_dump(mode="json") | {"version": found.version}


def _as_it_stands(model: type[BaseModel], values: dict[str, Any]) -> dict[str, Any]:
    """As JSON values, unchecked: what was kept once stays readable, whatever is asked of new ones."""
    return model.model_construct(**values).model_dump(mode="json", warnings=False)
