"""Every command in README is run here, in its order, on a collection of its own."""

import os
import re
import shlex
import socket
import subprocess
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tests.readme_blocks import generated
from tests.serving import fetch, started

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text()
COMMANDS = [
    line
    for block in re.findall(r"^```sh\n(.*?)^```", README, re.DOTALL | re.MULTILINE)
    for line in block.splitlines()
    if line.strip() and not line.startswith("#")
]
SERVES = re.compile(r"\b(make (demo|run)|going (demo|serve))\b")
RUNS_OUR_OWN_TESTS = re.compile(r"\bmake (test|check|bench)\b")


@pytest.fixture
def env(tmp_path: Path) -> dict[str, str]:
    path = f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"
    return {
        **os.environ,
        "PATH": path,
        "HOME": str(tmp_path),
        "XDG_DATA_HOME": str(tmp_path / "data"),
        "GOING_DATA": str(tmp_path / "own"),
        "TZ": "Europe/Lisbon",
    }


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


def _folder(command: str, home: Path) -> Path:
    return ROOT if shlex.split(command)[0].startswith("make") or " make " in command else home


def test_every_command_works_as_readme_has_it(subtests: pytest.Subtests, tmp_path: Path, env: dict[str, str]) -> None:
    for command in COMMANDS:
        with subtests.test(command):
            if command.startswith("going known"):
                _let_decline("Workshop spare", tmp_path, env)
            _run(command, tmp_path, env)


def _run(command: str, home: Path, env: dict[str, str]) -> None:
    if SERVES.search(command):
        _served(command, home, env)
        return
    tried = f"{command} --dry-run" if RUNS_OUR_OWN_TESTS.search(command) else command
    done = subprocess.run(
        ["bash", "-c", tried], cwd=_folder(command, home), env=env, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr


def _let_decline(nickname: str, home: Path, env: dict[str, str]) -> None:
    """Give a watch the past that the command speaks of: run-downs of 44 h after a service, of 36 h since last month."""
    now = datetime.now(UTC)
    rows = [("service", now - timedelta(days=700), "")]
    for days, hours in [*((690 - 9 * n, 44) for n in range(8)), *((60 - 5 * n, 36) for n in range(8))]:
        wound = now - timedelta(days=days)
        rows += [("wind", wound, ""), ("sighting", wound + timedelta(hours=hours - 0.1), "going")]
        rows += [("sighting", wound + timedelta(hours=hours), "stopped")]
    lines = [f"{nickname},{entry},{at.isoformat(timespec='seconds')},UTC,{seen}" for entry, at, seen in rows]
    (home / "declined.csv").write_text("\n".join(["watch,entry,at,zone,seen", *lines]) + "\n")
    _run("going import declined.csv --kind log", home, env)


def _served(command: str, home: Path, env: dict[str, str]) -> None:
    port = _free_port()
    asked = re.sub(r"(PORT=|--port )\d+", rf"\g<1>{port}", command)
    if asked == command:
        asked = f"{command} PORT={port}" if command.startswith("make") else f"{command} --port {port}"
    with started(["bash", "-c", f"exec {asked}"], folder=_folder(command, home), env=env) as address:
        assert address == f"http://127.0.0.1:{port}/"
        status, kind, _ = fetch(address)
        assert (status, kind) == (200, "text/html")


def test_readme_has_commands_to_run() -> None:
    assert len(COMMANDS) > 10


def test_what_readme_says_of_columns_is_what_the_code_has() -> None:
    assert generated(README) == README, "run: python tests/readme_blocks.py"
