"""A disk that is full, and one that may only be read: page and command line say so, and nothing is lost."""

import shutil
from pathlib import Path

import pytest

from tests.disasters.disk import FULL, ONLY_READ
from tests.smalldisk import on_a_small_disk


def test_a_full_disk_and_one_that_may_only_be_read_are_said_and_nothing_is_lost(tmp_path: Path) -> None:
    if shutil.which("unshare") is None or on_a_small_disk(tmp_path, "-c", "").returncode:
        pytest.skip("this machine lets no one mount a small disk")
    done = on_a_small_disk(tmp_path, "-m", "tests.disasters.disk", str(tmp_path))
    assert done.returncode == 0, done.stderr
    assert FULL in done.stderr
    assert done.stderr.count(ONLY_READ) == 3
