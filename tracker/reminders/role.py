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
