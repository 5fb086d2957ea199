"""A disk that fills up soon, for programs of the tests."""

import subprocess
import sys
from pathlib import Path


def on_a_small_disk(folder: Path, *words: str) -> "subprocess.CompletedProcess[str]":
    """Run Python in a name space of its own, in which this folder is a disk of 4 MB."""
    script = f'mount -t tmpfs -o size=4m none "{folder}" && exec "$@"'
    command = ["unshare", "-Urm", "sh", "-c", script, "sh", sys.executable, *words]
    return subprocess.run(command, capture_output=True, text=True, check=False, timeout=100)
