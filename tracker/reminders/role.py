"""A role that one process at a time holds in a data folder, freed by the kernel when that process dies."""

import fcntl
from pathlib import Path
from typing import IO


def take_role(folder: Path, name: str) -> IO[str] | None:
    """Take the role; closing the file gives it back. None if another process holds it."""
    file = (folder / f"{name}.lock").open("w")
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        file.close()
        return None
    return file


def is_held(folder: Path, name: str) -> bool:
    """Whether a living process holds the role. While this looks, which takes no time, taking the role may fail."""
    try:
        file = (folder / f"{name}.lock").open()
    except FileNotFoundError:
        return False
    with file:
        try:
            fcntl.flock(file, fcntl.LOCK_SH | fcntl.LOCK_NB)
        except BlockingIOError:
            return True
    return False
