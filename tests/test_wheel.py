"""The wheel carries templates and static files, and serves a page from a clean environment in another folder."""

import os
import re
import subprocess
import sys
import sysconfig
from pathlib import Path
from urllib.parse import urljoin

from tests.serving import fetch, started

ROOT = Path(__file__).parent.parent


def _run(*command: str | Path, cwd: Path) -> None:
    done = subprocess.run(command, cwd=cwd, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def _lend_libraries(environment: Path) -> None:
    """Let it import what is installed here, as the lock has it, without this checkout: a .pth in a lent folder is not read."""
    (site,) = environment.glob("lib/python3*/site-packages")
    (site / "lent.pth").write_text(sysconfig.get_path("purelib") + "\n")


def test_the_wheel_serves_a_page_with_its_style_from_another_folder(tmp_path: Path) -> None:
    pip = (sys.executable, "-m", "pip", "--disable-pip-version-check", "--quiet")
    _run(*pip, "wheel", "--no-deps", "--no-build-isolation", "--wheel-dir", tmp_path, ROOT, cwd=tmp_path)
    (wheel,) = tmp_path.glob("going_barrel-*.whl")
    _run(sys.executable, "-m", "venv", tmp_path / "clean", cwd=tmp_path)
    clean = (tmp_path / "clean" / "bin" / "python", "-m", "pip", "--disable-pip-version-check", "--quiet", "install")
    _run(*clean, "--no-deps", wheel, cwd=tmp_path)
    _lend_libraries(tmp_path / "clean")

    going = tmp_path / "clean" / "bin" / "going"
    env = {**os.environ, "GOING_DATA": str(tmp_path / "data"), "PYTHONPATH": ""}
    with started([str(going), "serve", "--port", "0"], folder=tmp_path, env=env) as address:
        status, kind, page = fetch(address)
        assert (status, kind) == (200, "text/html")
        style = re.search(r'<link rel="stylesheet" href="([^"]+)"', page)
        assert style is not None
        assert fetch(urljoin(address, style[1]))[1] == "text/css"
