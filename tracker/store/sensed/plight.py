"""How the listener fares while sensors.db can't be written: a small file, written over in place, which needs no room."""

import json
import logging
import os
from pathlib import Path

from tracker.store.sensed.reading import Condition

FILE_NAME = "listener.plight"
SIZE = 1024
"""Bytes. Taken when the listener first starts, so that they are there on a full disk."""
WHY_MOST = 200

_log = logging.getLogger(__name__)


def write(folder: Path, state: str, why: str, protocol: str, since_s: float) -> None:
    """Tell how the listener fares beside sensors.db."""
    told = {"state": state, "why": why[:WHY_MOST], "protocol": protocol, "since_s": since_s}
    _over(folder, json.dumps(told, ensure_ascii=False))


def clear(folder: Path) -> None:
    """Sensors.db tells again."""
    _over(folder, "")


def _over(folder: Path, text: str) -> None:
    try:
        handle = os.open(folder / FILE_NAME, os.O_WRONLY | os.O_CREAT, 0o600)
        try:
            os.pwrite(handle, text.encode().ljust(SIZE), 0)
        finally:
            os.close(handle)
    except OSError as error:
        _log.warning("%s can't be written: %s", FILE_NAME, error.strerror)


def newest(folder: Path, kept: Condition | None) -> Condition | None:
    """What sensors.db keeps of the listener, outdone by what it could not write there."""
    try:
        told = json.loads((folder / FILE_NAME).read_bytes().strip() or b"null")
    except (OSError, ValueError):
        return kept
    return kept if told is None else (kept or Condition("", 0.0, "", "", None, 0))._replace(**told)
