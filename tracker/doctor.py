"""Whether what the program needs around it is there: clock, room, broker, channels, backups, port, privacy of files."""

import errno
import shutil
import socket
import stat
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from sqlite_utils import Database

from tracker import phrases
from tracker.backup.daily import standing
from tracker.brokerconfig import broker_settings
from tracker.channelwords import failing
from tracker.collection import FILE_NAME, Preferences, machine_zone, preferences_of
from tracker.errors import GoingError, Unavailable
from tracker.reminders.role import is_held
from tracker.reminders.scheduler import ROLE as REMINDING
from tracker.store.channels import channels
from tracker.store.command_log import newest_moment
from tracker.store.copies import flaws, schema_steps
from tracker.store.migrations import names
from tracker.store.store import Store
from tracker.words import say

SECRETS = ("going.toml", "link-key", "calendar-key", "session-key", "broker-users.json")
"""Files in the data folder that are nobody else's business."""
FIRST_YEAR, LAST_YEAR = 2026, 2089
"""A clock outside of these years was never set."""
OLD = timedelta(days=2)
LEAST_FREE = 200_000_000
"""Bytes. Below it a photograph, a backup and an upgrade may no longer find room."""
CONNECT_S = 3.0


@dataclass(frozen=True, slots=True)
class Look:
    """One thing looked at: its name, how it is in a sentence, and what to do, empty where it is in order."""

    name: str
    sentence: str
    to_do: str = ""


def examine(folder: Path, now: datetime, port: int) -> list[Look]:
    """Look at everything.

    Raises:
        Unavailable: there is no collection, or it can't be read.
    """
    if not (folder / FILE_NAME).exists():
        raise Unavailable(say("There is no collection in {folder}.", folder=folder))
    looks = [_collection(folder)]
    if not looks[0].to_do:
        with closing(Store(folder / FILE_NAME)) as store:
            db = store.reading()
            held = preferences_of(db)
            looks += [_zone(held), _clock(db, now, held), _backups(folder, now, held), *_channels(db, now, held)]
    return [*looks, _room(folder), _broker(folder), _port(folder, port), _private(folder)]


def _collection(folder: Path) -> Look:
    if found := flaws(folder / FILE_NAME):
        return Look(
            say("collection"),
            say("going.db is damaged: {why}.", why=found[0]),
            say("Put a backup in its place: going restore FILE."),
        )
    if {*schema_steps(folder / FILE_NAME)} != {*names()}:
        return Look(
            say("collection"),
            say("going.db is of another schema than this program."),
            say("Start the program once, or update it."),
        )
    return Look(say("collection"), say("going.db is sound."))


def _zone(held: Preferences) -> Look:
    name = say("time zone")
    if held.zone.key == machine_zone():
        return Look(name, say("{zone}, as this machine has it.", zone=held.zone.key))
    to_do = say("If one of them is wrong, set it: on the page Settings, or with the system's own means.")
    if held.zone.key != "UTC" and machine_zone() == "UTC":
        # Servers often run on UTC by intent.
        to_do = ""
    return Look(
        name, say("The collection has {zone}, this machine {other}.", zone=held.zone.key, other=machine_zone()), to_do
    )


def _clock(db: Database, now: datetime, held: Preferences) -> Look:
    name, said = say("clock"), f"{now.astimezone(held.zone):%Y-%m-%d %H:%M}"
    to_do = say("Set the clock, best by the network: timedatectl set-ntp true.")
    newest = newest_moment(db)
    if not FIRST_YEAR <= now.year <= LAST_YEAR:
        return Look(name, say("It shows {said}, which can't be.", said=said), to_do)
    if newest is not None and newest > now + timedelta(minutes=5):
        late = f"{newest.astimezone(held.zone):%Y-%m-%d %H:%M}"
        return Look(name, say("It shows {said}; the newest change was made at {late}.", said=said, late=late), to_do)
    return Look(name, say("It shows {said}.", said=said))


def _backups(folder: Path, now: datetime, held: Preferences) -> Look:
    name, found = say("backup"), standing(folder, held.values.backup_folder, now)
    to_do = say("Back up now: going backup FILE.")
    if found.failed:
        return Look(name, found.failed, to_do)
    if found.newest is None:
        return Look(name, say("There is none in {folder}.", folder=found.folder), to_do)
    when = phrases.when_and_distance(found.newest, now, held.zone)
    return Look(name, say("The last was made {when}.", when=when), to_do if now - found.newest > OLD else "")


def _channels(db: Database, now: datetime, held: Preferences) -> Iterator[Look]:
    name, failed = say("channels"), failing(db, now, held.zone)
    for said in failed:
        yield Look(name, said, say("Try it: going channel test NAME."))
    if not failed:
        count = len(channels(db))
        said = (
            say("Set up and in order: {n}.", n=count)
            if count
            else say("None is set up; reminders show on the page alone.")
        )
        yield Look(name, said)


def _room(folder: Path) -> Look:
    free = shutil.disk_usage(folder).free
    said = say("Free on this disk: {free}.", free=phrases.megabytes(free))
    most = max([LEAST_FREE, *(2 * each.stat().st_size for each in folder.glob("*.db"))])
    return Look(say("disk"), said, "" if free >= most else say("Make room: {n} are wanted.", n=phrases.megabytes(most)))


def _broker(folder: Path) -> Look:
    name = say("broker")
    try:
        settings = broker_settings(folder)
    except GoingError as error:
        return Look(name, error.sentence, say("Put going.toml right."))
    if settings is None:
        return Look(name, say("None is named; no sensor needs one."))
    where = f"{settings.host}:{settings.port}"
    try:
        socket.create_connection((settings.host, settings.port), CONNECT_S).close()
    except OSError as error:
        why = error.strerror or str(error)
        return Look(
            name,
            say("{where} can't be reached: {why}.", where=where, why=why),
            say("Start the broker, or put its address right in going.toml."),
        )
    return Look(name, say("{where} answers.", where=where))


def _port(folder: Path, port: int) -> Look:
    name, serving = say("port"), is_held(folder, REMINDING)
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind(("127.0.0.1", port))
        except OSError as error:
            if error.errno != errno.EADDRINUSE:
                return Look(
                    name,
                    say("{port} can't be used: {why}.", port=port, why=error.strerror),
                    say("Choose another: --port."),
                )
            if serving:
                return Look(name, say("{port} is in use, and this collection is being served.", port=port))
            return Look(
                name,
                say("{port} is in use by another program.", port=port),
                say("Choose another: going serve --port {n}.", n=port + 1),
            )
    return Look(name, say("{port} is free.", port=port))


def _private(folder: Path) -> Look:
    name = say("privacy")
    if not folder.stat().st_mode & (stat.S_IXGRP | stat.S_IXOTH):
        return Look(name, say("Nobody else can enter {folder}.", folder=folder))
    open_to_others = [each for each in SECRETS if _readable_by_others(folder / each)]
    if not open_to_others:
        return Look(name, say("Nobody else can read the keys in {folder}.", folder=folder))
    listed = ", ".join(open_to_others)
    return Look(
        name, say("Others on this machine can read {files}.", files=listed), say("chmod 700 {folder}", folder=folder)
    )


def _readable_by_others(file: Path) -> bool:
    return file.exists() and bool(file.stat().st_mode & (stat.S_IRGRP | stat.S_IROTH))
