import subprocess
import sys
from pathlib import Path

from sensors.brokerusers import READY
from tests.sensors.test_broker import free_port


def started(folder: Path, port: int) -> "subprocess.Popen[str]":
    return subprocess.Popen(
        [sys.executable, "-m", "sensors.brokerchild", str(folder), "127.0.0.1", str(port)],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip


def test_it_says_that_it_listens_and_ends_with_its_input(tmp_path: Path) -> None:
    child = started(tmp_path, free_port())
    assert child.stdout is not None
    assert child.stdout.readline().strip() == READY
    said, complaint = child.communicate("", timeout=20)
    assert (said, complaint, child.returncode) == ("", "", 0)


def test_what_keeps_it_from_listening_is_said_in_one_line(tmp_path: Path) -> None:
    port = free_port()
    first, second = started(tmp_path, port), None
    assert first.stdout is not None
    assert first.stdout.readline().strip() == READY
    second = started(tmp_path, port)
    said, complaint = second.communicate("", timeout=20)
    assert second.returncode == 1
    assert "in use" in said
    assert complaint == ""
    first.communicate("", timeout=20)
