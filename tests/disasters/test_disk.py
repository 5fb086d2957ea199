"""A disk that is full, and one that may only be read: page and command line say so, and nothing is lost."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.disasters.disk import FULL, ONLY_READ


def on_a_small_disk(folder: Path, *words: str) -> "subprocess.CompletedProcess[str]":
    """Run Python in a name space of its own, in which this folder is a disk of 4 MB."""
    script = f'mount -t tmpfs -o size=4m none "{folder}" && exec "$@"'
    command = ["unshare", "-Urm", "sh", "-c", script, "sh", sys.executable, *words]
    return subprocess.run(command, capture_output=True, text=True, check=False, timeout=100)


def test_a_full_disk_and_one_that_may_only_be_read_are_said_and_nothing_is_lost(tmp_path: Path) -> None:
    if shutil.which("unshare") is None or on_a_small_disk(tmp_path, "-c", "").returncode:
        pytest.skip("this machine lets no one mount a small disk")
    done = on_a_small_disk(tmp_path, "-m", "tests.disasters.disk", str(tmp_path))
    assert done.returncode == 0, done.stderr
    assert FULL in done.stderr
    assert done.stderr.count(ONLY_READ) == 3
