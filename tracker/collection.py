"""A collection opened for use: its file, its owner, its preferences."""

import os
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from sqlite_utils import Database

from tracker.commands.base import Origin, Who
from tracker.commands.fields import known_zone
from tracker.commands.settings import SETTING_NAMES, Settings
from tracker.errors import Unavailable
from tracker.store.beginnings import begin
from tracker.store.register import owner_uid
from tracker.store.settings import read_settings
from tracker.store.store import Store
from tracker.words import say

FILE_NAME = "going.db"


@dataclass(frozen=True, slots=True)
class Preferences:
    """The owner's settings and the version an edit of them must name."""

    values: Settings
    version: int

    @property
    def zone(self) -> ZoneInfo:
        """The owner's time zone."""
        return ZoneInfo(self.values.zone)


def open_collection(folder: Path, now: datetime) -> Store:
    """Open the collection in this folder, making it if there is none.

    Raises:
        Unavailable: the file can't be opened, or a newer program wrote it.
    """
    store = Store(folder / FILE_NAME)
    store.prepare()
    with store.change() as db:
        begin(db, Settings(zone=machine_zone()).model_dump(), now)
    return store


def preferences(store: Store) -> Preferences:
    """The owner's settings as they stand."""
    return preferences_of(store.reading())


def preferences_of(db: Database) -> Preferences:
    """The owner's settings as this connection sees them, also within a change."""
    values, version = read_settings(db)
    return Preferences(Settings(**{name: values[name] for name in SETTING_NAMES if name in values}), version)


def owner(store: Store, origin: Origin, now: datetime) -> Who:
    """The owner at this moment, as the giver of commands.

    Raises:
        Unavailable: the file holds no owner.
    """
    uid = owner_uid(store.reading())
    if uid is None:
        raise Unavailable(say("This collection has no owner; it was not opened by this program."))
    return Who(person_uid=uid, origin=origin, now=now, zone=preferences(store).values.zone)


def owner_code(db: Database) -> str:
    """A short name of this collection for others' eyes: it tells nothing of whose it is."""
    return (owner_uid(db) or "").replace("-", "")[-8:]


def machine_zone() -> str:
    """The time zone this machine is set to, as an IANA name; UTC where it has none."""
    named = os.environ.get("TZ", "").lstrip(":")
    link = os.path.realpath("/etc/localtime")
    for name in (named, link.partition("zoneinfo/")[2]):
        try:
            if name:
                return known_zone(name)
        except ValueError:
            continue
    return "UTC"
