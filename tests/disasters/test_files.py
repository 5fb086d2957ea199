"""A collection that is damaged, of a newer program or taken: the start, page and command line say so in a sentence, and change nothing."""

import os
import sqlite3
import sys
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime
from html import unescape
from pathlib import Path

import pytest

from tests.serving import fetch, serving
from tests.web.rounds import register
from tracker.cli import main
from tracker.collection import open_collection
from tracker.derive import catch_up
from tracker.store.store import Store
from tracker.web.app import create_app

ROOT = Path(__file__).parents[2]


def going(folder: Path, capfd: pytest.CaptureFixture[str], *words: str) -> tuple[int, str]:
    """Exit code of the command line, and all it said."""
    code = main([*words, "--data", str(folder)])
    said = capfd.readouterr()
    return code, said.out + said.err


def _damage(folder: Path) -> None:
    """Overwrite every page but the first, where SQLite keeps the names of its tables."""
    file = folder / "going.db"
    data = file.read_bytes()
    file.write_bytes(data[:4096] + b"\xa5" * (len(data) - 4096))


def _newer(folder: Path) -> None:
    with closing(sqlite3.connect(folder / "going.db")) as conn, conn:
        conn.execute(
            "INSERT INTO _sqlite_migrations (migration_set, name, applied_at) VALUES ('going', 'm9999_later', '')"
        )


@pytest.fixture
def kept(store: Store, now: datetime) -> Path:
    """The folder of a collection with a watch, closed."""
    register(store, "Night ferry", 3.0)
    catch_up(store, now)
    folder = store.path.parent
    store.close()
    with closing(sqlite3.connect(folder / "going.db")) as conn:
        conn.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    return folder


@pytest.mark.parametrize(
    ("spoil", "sentence"),
    [(_damage, "the file is damaged"), (_newer, "was written by a newer ")],
    ids=["damaged", "newer"],
)
def test_it_is_said_at_every_door_and_nothing_is_made_worse(
    spoil: Callable[[Path], None], sentence: str, kept: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    spoil(kept)
    before = (kept / "going.db").read_bytes()
    for words in (["serve", "--port", "0"], ["seen", "Night"], ["list"], ["export", "--kind", "log"], ["check"]):
        status, said = going(kept, capfd, *words)
        assert status != 0, words
        assert sentence in said, (words, said)
        assert "Traceback" not in said, words
    assert (kept / "going.db").read_bytes() == before


def test_damage_that_comes_while_pages_are_served_is_said_on_the_page(kept: Path, now: datetime) -> None:
    with closing(open_collection(kept, now)) as store:
        app = create_app(store, now=lambda: now)
    _damage(kept)
    answer = app.test_client().get("/")
    assert answer.status_code == 503
    assert "the file is damaged" in unescape(answer.text)


def test_a_second_server_on_the_same_collection_leaves_reminding_to_the_first_and_both_serve(
    kept: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    env = {**os.environ, "GOING_DATA": str(kept), "PYTHONPATH": str(ROOT)}
    command = [sys.executable, "-m", "tracker", "serve", "--port", "0"]
    with serving(command, folder=kept, env=env) as first, serving(command, folder=kept, env=env) as second:
        for each in (first, second):
            assert "Night ferry" in fetch(f"{each.address}collection")[2]
        status, said = going(kept, capfd, "seen", "Night")
        assert status == 0, said
        for each in (first, second):
            assert "Seen going" in unescape(fetch(f"{each.address}changes")[2])


def test_with_a_clock_in_1970_pages_and_command_line_still_answer(kept: Path) -> None:
    early = datetime(1970, 1, 1, 0, 5, tzinfo=UTC)
    with closing(open_collection(kept, early)) as store:
        app = create_app(store, now=lambda: early)
        app.config["WTF_CSRF_ENABLED"] = False
        browser = app.test_client()
        uid = next(iter(store.reading().execute("SELECT uid FROM watch")))[0]
        for path in ("/", "/collection", f"/watch/{uid}", "/services", "/away", "/messages", "/settings"):
            assert browser.get(path).status_code == 200, path
        before = store.reading().execute("SELECT count(*) FROM winding").fetchone()
        answer = browser.post("/log/tap", data={"key": "a", "next": "/", "when": "now", "do": f"wound-going {uid}"})
        assert answer.status_code in {303, 422}
        kept_now = store.reading().execute("SELECT count(*) FROM winding WHERE at_utc >= '2000'").fetchone()
        assert kept_now == before
