"""A collection on a small disk that fills up, then may only be read: `python -m tests.disasters.disk FOLDER`; fails if anything is lost.

Run where FOLDER is a disk of its own that this process may mount anew.
"""

import subprocess
import sys
from contextlib import closing
from html import unescape
from pathlib import Path

from flask.testing import FlaskClient

from tests.sensors.fulldisk import fill
from tests.web.rounds import NOW, register
from tracker import clock
from tracker.cli import main as going
from tracker.collection import open_collection
from tracker.store.copies import flaws
from tracker.store.log import entry_rows
from tracker.web.app import create_app

FULL = "Nothing was saved in going.db: the disk is full. Try again."
ONLY_READ = "can't be opened: its disk may only be read, not written."


def seen_on_page(browser: FlaskClient, uid: str, key: str) -> tuple[int, str]:
    """A tap on a Watch page: status of the answer, and what it says."""
    answer = browser.post(
        "/log/tap", data={"key": key, "next": f"/watch/{uid}", "when": "now", "do": f"seen-going {uid}"}
    )
    return answer.status_code, unescape(answer.text)


def full(folder: Path) -> str:
    """Fill the disk, try page and command line, make room, try again; gives the uid of the watch."""
    with closing(open_collection(folder, NOW)) as store:
        uid = register(store, "Night ferry", 3.0)
        app = create_app(store, now=lambda: NOW)
        app.config["WTF_CSRF_ENABLED"] = False
        browser = app.test_client()
        before = len(entry_rows(store.reading(), uid))
        fill(folder / "filler")
        status, text = seen_on_page(browser, uid, "a key")
        assert (status, FULL in text) == (503, True), (status, text)
        assert browser.get("/").status_code == 200
        assert going(["seen", "Night ferry", "--data", str(folder)]) == 5
        assert len(entry_rows(store.reading(), uid)) == before
        (folder / "filler").unlink()
        assert [seen_on_page(browser, uid, "a key")[0] for _ in range(2)] == [303, 303]
        assert going(["seen", "Night ferry", "--data", str(folder)]) == 0
        assert len(entry_rows(store.reading(), uid)) == before + 2
    return uid


def only_read(folder: Path, uid: str) -> None:
    """The same with a disk that may only be read, which a program finds at its start."""
    _remount(folder, "ro")
    for words in (["seen", "Night ferry"], ["list"], ["serve", "--port", "0"]):
        assert going([*words, "--data", str(folder)]) == 5, words
    _remount(folder, "rw")
    assert going(["seen", "Night ferry", "--data", str(folder)]) == 0
    with closing(open_collection(folder, NOW)) as store:
        assert len(entry_rows(store.reading(), uid)) == 4


def _remount(folder: Path, how: str) -> None:
    subprocess.run(["mount", "-o", f"remount,{how}", str(folder)], check=True)


def main(folder: Path) -> None:
    """Both, one after the other."""
    clock.now = lambda: NOW
    only_read(folder, full(folder))
    assert not flaws(folder / "going.db")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
