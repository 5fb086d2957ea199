"""A folder made ready beside the collection, and how it comes into its place: what is there is never written over."""

import shutil
from datetime import datetime
from pathlib import Path

from tracker.backup.manifest import SENSORS
from tracker.backup.names import FOLDER as BACKUPS
from tracker.collection import open_collection
from tracker.errors import Conflict
from tracker.listening import ROLE as LISTENING
from tracker.reminders.role import is_held
from tracker.reminders.scheduler import ROLE as REMINDING
from tracker.store.sensed.migrations import open_sensed
from tracker.words import say


def check_place(folder: Path, *, replace: bool) -> None:
    """See whether a collection may be put there.

    Raises:
        Conflict: there is something, and `replace` does not say that it may be put aside; or it is in use.
    """
    if any(is_held(folder, role) for role in (REMINDING, LISTENING)):
        raise Conflict(say("The collection in {folder} is in use; stop the program first.", folder=folder))
    if folder.exists() and any(folder.iterdir()) and not replace:
        raise Conflict(
            say(
                "{folder} holds something already; nothing was changed. Name another folder with --data, or say --replace: it is then kept aside.",
                folder=folder,
            )
        )


def bring_up_to_date(fresh: Path, now: datetime) -> None:
    """An older schema is upgraded here, where a failure costs nothing."""
    open_collection(fresh, now).close()
    if (fresh / SENSORS).exists():
        open_sensed(fresh).close()


def put_in_place(fresh: Path, folder: Path, now: datetime) -> Path | None:
    """Give the folder its place; returns where what was there lies now, None where there was nothing."""
    aside = None
    if folder.exists() and any(folder.iterdir()):
        aside = _free_name(folder.with_name(f"{folder.name}.before-restore-{now:%Y%m%dT%H%M%SZ}"))
        folder.rename(aside)
    elif folder.exists():
        folder.rmdir()
    try:
        fresh.rename(folder)
    except OSError:
        if aside is not None:
            aside.rename(folder)
        raise
    if aside is not None and (aside / BACKUPS).exists():
        shutil.move(aside / BACKUPS, folder / BACKUPS)
    return aside


def _free_name(wanted: Path) -> Path:
    others = (wanted.with_name(f"{wanted.name}-{n}") for n in range(2, 1000))
    return wanted if not wanted.exists() else next(each for each in others if not each.exists())
