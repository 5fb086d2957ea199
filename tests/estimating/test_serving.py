"""The worker beside a real server: quick entries, kills, other processes, and nothing left behind."""

import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from datetime import UTC, datetime, timedelta
from http.cookiejar import CookieJar
from pathlib import Path
from urllib.parse import urlencode, urljoin
from urllib.request import HTTPCookieProcessor, OpenerDirector, build_opener

import pytest

from tests.derived import check_cache
from tests.estimating.test_worker import later
from tests.listening import hears, lies
from tests.serving import Server, children, lives, serving
from tracker import derive
from tracker.collection import open_collection, owner
from tracker.commands.door import submit
from tracker.commands.log import LogWind
from tracker.commands.register import RegisterWatch
from tracker.store.store import Store
from tracker.uids import uid_of

ROOT = Path(__file__).parents[2]
GOING = [sys.executable, "-m", "tracker"]
DEADLINE_S = 60
FERRY = uid_of("night ferry")


def until(true: Callable[[], object], what: str) -> None:
    """Look again and again, but not for ever."""
    end = time.monotonic() + DEADLINE_S
    while not true():
        assert time.monotonic() < end, what
        time.sleep(0.02)


def env(folder: Path) -> dict[str, str]:
    return {**os.environ, "GOING_DATA": str(folder), "PYTHONPATH": str(ROOT), "TZ": "UTC"}


def filled(folder: Path, count: int) -> Store:
    """Watches with a year of weekly winds each; nothing of them is worked out."""
    now = datetime.now(UTC).replace(microsecond=0)
    store = open_collection(folder, now)
    watches = [RegisterWatch(uid=FERRY, nickname="Night ferry", habit="keep going", stated_reserve_h=192)]
    watches += [RegisterWatch(nickname=f"Watch {number:02}", stated_reserve_h=192) for number in range(1, count)]
    winds = [
        LogWind(watch_uid=watch.uid, at=now - timedelta(days=7 * week, hours=1), zone="UTC", found="going")
        for watch in watches
        for week in range(50)
    ]
    submit(store, [*watches, *winds], owner(store, "page", now), then=later)
    return store


def in_line(store: Store) -> list[str]:
    return derive.in_line(store.reading(), datetime.now(UTC))


def workers(server: Server) -> list[int]:
    return children(server.process.pid)


class Browser:
    """Keeps its cookies and taps buttons."""

    def __init__(self, server: Server) -> None:
        self.address = server.address
        self.opener: OpenerDirector = build_opener(HTTPCookieProcessor(CookieJar()))

    def page(self, path: str) -> str:
        with self.opener.open(urljoin(self.address, path), timeout=30) as answer:
            return str(answer.read().decode())

    def tap(self, act: str) -> str:
        """Tap a button of the Watch page; gives the page that follows."""
        page = self.page(f"/watch/{FERRY}")
        fields = {name: self._field(page, name) for name in ("csrf_token", "key", "next", "when")}
        data = urlencode({**fields, "do": f"{act} {FERRY}"}).encode()
        with self.opener.open(urljoin(self.address, "/log/tap"), data, timeout=30) as answer:
            return str(answer.read().decode())

    @staticmethod
    def _field(page: str, name: str) -> str:
        found = re.search(rf'name="{name}" value="([^"]+)"', page)
        assert found, name
        return found[1]


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = filled(tmp_path, 6)
    yield opened
    opened.close()


def served(folder: Path) -> AbstractContextManager[Server]:
    return serving([*GOING, "serve", "--port", "0"], folder=folder, env=env(folder))


def test_entries_figures_kills_and_other_processes_beside_one_server(tmp_path: Path, store: Store) -> None:
    with served(tmp_path) as server:
        browser = Browser(server)
        until(lambda: not in_line(store), "the collection is worked out from nothing")
        assert "Being worked out" not in browser.page("/")
        assert check_cache(store.path, datetime.now(UTC)) == 6

        page = browser.tap("wound-going")
        assert "Night ferry: wound" in page or "Undo" in page
        until(lambda: not in_line(store), "a new entry is worked out")
        assert "eing worked out" not in browser.page(f"/watch/{FERRY}")

        now = datetime.now(UTC)
        lies(store, FERRY, now - timedelta(days=3))
        until(lambda: not in_line(store), "a watch laid on a sensor is worked out")
        days_ago = [now - timedelta(days=ago) for ago in (3, 2, 1)]
        hears(store, [(days_ago[0], days_ago[1], "unknown"), (days_ago[2], now - timedelta(hours=5), "unknown")])
        until(lambda: not in_line(store), "what its sensor tells is noticed without anybody's entry")
        assert "Its sensor told nothing from" in browser.page(f"/watch/{FERRY}")
        hears(store, [])
        until(lambda: not in_line(store), "so is what it takes back")

        (worker,) = workers(server)
        os.kill(worker, signal.SIGKILL)
        browser.tap("seen-going")
        until(lambda: not in_line(store), "a worker that was killed is started again")
        (again,) = workers(server)
        assert again != worker

        done = subprocess.run([*GOING, "recompute"], env=env(tmp_path), capture_output=True, text=True, check=True)
        assert done.stdout == "Watches worked out anew: 6.\n"
        until(lambda: not in_line(store), "both are done")
        assert check_cache(store.path, datetime.now(UTC)) == 6

        server.process.terminate()
        assert server.process.wait(timeout=30) == 0
        until(lambda: not lives(again), "the worker goes with its server")


def test_a_server_killed_leaves_no_worker_and_the_next_one_finishes(tmp_path: Path, store: Store) -> None:
    with served(tmp_path) as server:
        until(lambda: workers(server), "there is a worker")
        (worker,) = workers(server)
        server.process.kill()
        until(lambda: not lives(worker), "the worker ends with its server")
    check_cache(store.path, datetime.now(UTC), to_come=True)
    with served(tmp_path):
        until(lambda: not in_line(store), "the next server's worker finishes")
    assert check_cache(store.path, datetime.now(UTC)) == 6
