"""What is missing on a machine is said in one sentence, before anything is installed."""

import os
import shutil
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
OLD = """#!/bin/sh
case "$1" in
  -V) echo "Python 3.9.2" ;;
  *) exit 1 ;;
esac
"""
WITHOUT_VENV = """#!/bin/sh
case "$2" in
  *ensurepip*) exit 1 ;;
  *) exit 0 ;;
esac
"""


def _make(*words: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    # Also when these tests are themselves run by make.
    own = {name: value for name, value in os.environ.items() if name not in {"MAKEFLAGS", "MAKELEVEL", "MFLAGS"}}
    return subprocess.run(["make", *words], cwd=cwd, env=own, capture_output=True, text=True, check=False)


@pytest.mark.parametrize(
    ("script", "said"),
    [
        (
            OLD,
            (
                "{python} is Python 3.9.2; Going Barrel needs Python 3.11 or newer. "
                "Name another one: make PYTHON=python3.12 …"
            ),
        ),
        (WITHOUT_VENV, "{python} has no venv module. Install it (Debian: apt install python3-venv), then try again."),
        (
            None,
            "There is no {python} here. Install Python 3.11 or newer (Debian: apt install python3 python3-venv).",
        ),
    ],
    ids=["too old", "no venv", "no python"],
)
def test_a_python_that_will_not_do_is_one_sentence(tmp_path: Path, script: str | None, said: str) -> None:
    shutil.copy(ROOT / "Makefile", tmp_path)
    python = tmp_path / "some-python"
    if script is not None:
        python.write_text(script)
        python.chmod(0o755)
    done = _make("venv", f"PYTHON={python}", cwd=tmp_path)
    assert done.returncode != 0
    assert done.stdout == said.format(python=python) + "\n"
    assert not (tmp_path / ".venv").exists()


def test_every_purpose_of_the_makefile_is_listed() -> None:
    listed = _make(cwd=ROOT).stdout
    for purpose in ("demo", "run", "test", "check", "bench", "venv"):
        assert f"make {purpose}" in listed
