"""The page for those who write programs, and its script against a running server."""

import os
import re
import subprocess
import sys
from datetime import UTC, datetime, timedelta
from html import unescape
from pathlib import Path

from tests.serving import started
from tests.web.rounds import client
from tracker.api.document import document
from tracker.api.script import SCRIPT
from tracker.collection import open_collection, owner
from tracker.commands.door import submit
from tracker.store.store import Store
from tracker.tokens import new_token
from tracker.uids import new_uid

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")


def test_the_page_tells_every_address_and_asks_nothing_of_outside(store: Store) -> None:
    page = client(store).get("/programs").text
    for path in document()["paths"]:
        assert f"/api{path}</code>" in page
    assert set(re.findall(r'(?:src|href)="(https?:[^"]*)"', page)) == set()
    assert SCRIPT in unescape(page)
    assert "python3 wind.py http://localhost TOKEN" in page


def test_settings_lead_there(store: Store) -> None:
    assert 'href="/programs"' in client(store).get("/settings").text


def test_the_script_is_ten_lines_and_the_one_of_readme() -> None:
    assert len(SCRIPT.splitlines()) == 10
    assert f"```python\n{SCRIPT}```" in README


def test_the_script_registers_a_watch_logs_a_wind_and_reads_the_wind_by(tmp_path: Path) -> None:
    env = {**os.environ, "GOING_DATA": str(tmp_path / "own"), "HOME": str(tmp_path), "TZ": "Europe/Lisbon"}
    now = datetime.now(UTC)
    collection = open_collection(tmp_path / "own", now)
    command, token = new_token(collection, new_uid(now), {"name": "script", "scope": "all"})
    submit(collection, [command], owner(collection, "page", now))
    collection.close()
    going = str(Path(sys.executable).parent / "going")
    (tmp_path / "wind.py").write_text(SCRIPT, encoding="utf-8")
    with started([going, "serve", "--port", "0"], folder=tmp_path, env=env) as address:
        done = subprocess.run(
            [sys.executable, "wind.py", address.rstrip("/"), token],
            cwd=tmp_path, env=env, capture_output=True, text=True, check=True,
        )  # fmt: skip
    wind_by = datetime.fromisoformat(done.stdout.strip())
    assert timedelta(hours=10) < wind_by - datetime.now(UTC) < timedelta(hours=42)
