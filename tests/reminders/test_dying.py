"""A process that plans and tells, killed within and after each of its changes; `make soak` does so 90 times more."""

import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from tests.reminders.dying import MOMENTS, STEPS, collection, run
from tracker.collection import FILE_NAME


@pytest.fixture(scope="module")
def template() -> Iterator[Path]:
    with TemporaryDirectory() as folder:
        collection(Path(folder))
        yield Path(folder)


@pytest.mark.parametrize("seed", range(len(STEPS)), ids=STEPS)
def test_killed_anywhere_nothing_is_lost_and_nothing_doubled_but_what_was_on_its_way(
    template: Path, tmp_path: Path, seed: int
) -> None:
    assert run(template, tmp_path / "run", seed).wrong == ()


def test_two_processes_at_once_tell_everything_once(template: Path, tmp_path: Path) -> None:
    subprocess.run(["cp", "-r", str(template), str(tmp_path / "run")], check=True)
    file, sent = tmp_path / "run" / FILE_NAME, tmp_path / "sent"
    for moment in MOMENTS:
        call = [sys.executable, "-m", "tests.reminders.dying", str(file), moment.isoformat(), str(sent)]
        both = [subprocess.Popen(call) for _ in range(2)]
        assert [each.wait(timeout=120) for each in both] == [0, 0]
    counted = Counter(sent.read_text().split())
    assert sorted(key.split("/")[0] for key in counted) == ["last-call", "last-call", "round"]
    assert set(counted.values()) == {1}
