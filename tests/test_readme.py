"""Every command in README is run here, in its order, on a collection of its own."""

import os
import re
import shlex
import socket
import subprocess
import sys
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


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("home")


@pytest.fixture(scope="module")
def env(home: Path) -> dict[str, str]:
    path = f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"
    return {
        **os.environ,
        "PATH": path,
        "HOME": str(home),
        "XDG_DATA_HOME": str(home / "data"),
        "GOING_DATA": str(home / "own"),
        "TZ": "Europe/Lisbon",
    }


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


def _folder(command: str, home: Path) -> Path:
    return ROOT if shlex.split(command)[0].startswith("make") or " make " in command else home


@pytest.mark.xdist_group("readme")
@pytest.mark.parametrize("command", COMMANDS)
def test_the_command_works_as_readme_has_it(command: str, home: Path, env: dict[str, str]) -> None:
    if RUNS_OUR_OWN_TESTS.search(command):
        done = subprocess.run(
            ["bash", "-c", f"{command} --dry-run"], cwd=ROOT, env=env, capture_output=True, text=True, check=False
        )
        assert done.returncode == 0, done.stderr
    elif SERVES.search(command):
        _served(command, home, env)
    else:
        done = subprocess.run(
            ["bash", "-c", command], cwd=_folder(command, home), env=env, capture_output=True, text=True, check=False
        )
        assert done.returncode == 0, done.stdout + done.stderr


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
