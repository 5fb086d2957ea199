"""A backup a day while the program runs: due by what lies in the folder, and never in the way of anything else."""

import json
import logging
import os
import threading
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from tracker.backup.archive import write
from tracker.backup.names import folder_of, kept_in, name_of
from tracker.backup.thinning import due, to_delete
from tracker.collection import preferences
from tracker.errors import GoingError, Unavailable
from tracker.reminders.role import take_role
from tracker.store.moments import from_text, to_text
from tracker.store.store import Store
from tracker.words import say

ROLE = "backing-up"
PLIGHT = "backup.plight"
SIZE = 1024
WHY_MOST = 300
AGAIN = timedelta(hours=1)
"""How long after a failure it is tried again."""

_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Standing:
    """How the backups of a collection stand: the newest one, and what went wrong since, in a sentence, with its moment."""

    folder: Path
    newest: datetime | None
    failed: str
    failed_at: datetime | None


def standing(data: Path, wished: str, now: datetime) -> Standing:
    """How backups stand; those that a clock gone wrong dated ahead of now do not count."""
    folder = folder_of(data, wished)
    failed, failed_at = _told_plight(data)
    try:
        past = [moment for moment in kept_in(folder) if moment <= now]
    except OSError as error:
        past, failed, failed_at = [], failed or _unreadable(folder, error).sentence, failed_at or now
    return Standing(folder, max(past, default=None), failed, failed_at)


def begin(store: Store, now: datetime) -> threading.Thread | None:
    """Begin today's backup in a thread of its own, if it is due; None if it is not."""
    held = preferences(store)
    if not held.values.backup_daily:
        return None
    data = store.path.parent
    folder, (_, failed_at) = folder_of(data, held.values.backup_folder), _told_plight(data)
    if failed_at is not None and abs(now - failed_at) < AGAIN:
        return None
    try:
        if not due(kept_in(folder), now, held.zone):
            return None
    except OSError as error:
        _tell_plight(data, _unreadable(folder, error).sentence, now)
        return None
    thread = threading.Thread(target=keep_up, args=(data, folder, now, held.zone), name="backup", daemon=True)
    thread.start()
    return thread


def keep_up(data: Path, folder: Path, now: datetime, zone: ZoneInfo) -> None:
    """Make a backup and let go those kept no longer, unless another process is at it; what goes wrong is told, not raised."""
    try:
        role = take_role(data, ROLE)
        if role is None:
            return
        with role:
            file = write(data, folder / name_of(now), now).file
            _thin(folder, file, zone)
            _tell_plight(data, "", now)
    except GoingError as error:
        _tell_plight(data, error.sentence, now)
    except Exception as error:  # noqa: BLE001 -- the program goes on, and says so
        _tell_plight(data, say("No backup was made: {why}.", why=error), now)
        _log.exception("A backup could not be made.")


def _thin(folder: Path, written: Path, zone: ZoneInfo) -> None:
    kept = kept_in(folder)
    for moment in to_delete(kept, zone):
        # The one just made stays, whatever a clock gone wrong has called it.
        if kept[moment] != written:
            kept[moment].unlink()


def _unreadable(folder: Path, error: OSError) -> Unavailable:
    return Unavailable(say("No backup was made: {folder} can't be read: {why}.", folder=folder, why=error.strerror))


def _told_plight(data: Path) -> tuple[str, datetime | None]:
    try:
        told = json.loads((data / PLIGHT).read_bytes().strip() or b"null")
        return (str(told["why"]), from_text(told["at_utc"])) if told else ("", None)
    except (OSError, ValueError, KeyError, TypeError):
        return "", None


def _tell_plight(data: Path, why: str, now: datetime) -> None:
    """Written over in place, so that it needs no room on a full disk once it was there."""
    text = json.dumps({"why": why[:WHY_MOST], "at_utc": to_text(now)}) if why else ""
    if why:
        _log.warning("%s", why)
    try:
        handle = os.open(data / PLIGHT, os.O_WRONLY | os.O_CREAT, 0o600)
        try:
            os.pwrite(handle, text.encode().ljust(SIZE), 0)
        finally:
            os.close(handle)
    except OSError as error:
        _log.warning("%s can't be written: %s", PLIGHT, error.strerror)
