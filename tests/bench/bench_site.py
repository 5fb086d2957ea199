"""Every page at 14, 200 and 1,000 watches with ten years of log, beside an empty page of Flask: printed, never judged.

`python -m pytest tests/bench/bench_site.py -s`. Watches share twelve logs, each worked out once, since a thousand would take long.
"""

import statistics
import threading
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from flask import Flask
from waitress import create_server

from tests.bench.bench_pages import Reader, collection, served, tell
from tracker import derive, workedout
from tracker.store import register
from tracker.store.store import Store
from tracker.uids import uid_of
from tracker.web.app import create_app

LIVES = 12
TURNS = 40
MANY = {"login.page", "progress.page", "static", "pictures.script"}
"""Not pages of a collection."""


def know_all(store: Store, count: int, now: datetime) -> None:
    """Work out twelve watches and keep the answer of each for all whose log is the same."""
    known = [workedout.work_out(store.reading(), uid_of("bench", str(life)), now) for life in range(min(LIVES, count))]
    watches = {watch.uid: watch for watch in register.watches(store.reading())}
    with store.change() as db:
        found = [
            replace(one, watch=watches[uid_of("bench", str(number))])
            for number in range(count)
            if (one := known[number % LIVES]) is not None
        ]
        derive.keep(db, found, now)


def paths(store: Store) -> list[str]:
    """Every page that can be asked for without more than the uid of a watch."""
    app = create_app(store, now=lambda: datetime.now(UTC), then=lambda *_: None)
    rules = [rule for rule in app.url_map.iter_rules() if "GET" in (rule.methods or ()) and rule.endpoint not in MANY]
    asked = {rule.rule.replace("/watch/<uid>", f"/watch/{uid_of('bench', '1')}") for rule in rules}
    browser = app.test_client()
    # Some are there under https only.
    return sorted(path for path in asked if "<" not in path and browser.get(path).status_code == 200)


@contextmanager
def empty_page() -> Iterator[str]:
    """An application of Flask that says nothing, served as ours is."""
    app = Flask("empty")
    app.add_url_rule("/", view_func=lambda: "")
    server = create_server(app, host="127.0.0.1", port=0, threads=4)
    thread = threading.Thread(target=server.run)
    thread.start()
    yield f"http://127.0.0.1:{server.effective_port}/"
    server.close()
    thread.join()


def _times(reader: Reader, path: str) -> tuple[float, float, float]:
    """The first time, then median and 95th percentile of the next ones, in ms."""
    first, rest = reader.ms(path), sorted(reader.ms(path) for _ in range(TURNS))
    return first, statistics.median(rest), rest[int(0.95 * TURNS)]


@pytest.mark.bench
@pytest.mark.parametrize("count", [14, 200, 1000])
def test_every_page_beside_an_empty_one(count: int, tmp_path: Path) -> None:
    with closing(collection(tmp_path, count, 10, lives=LIVES)) as store:
        know_all(store, count, datetime.now(UTC))
        with empty_page() as empty, served(tmp_path) as server:
            time.sleep(3.0)
            _, nothing, _ = _times(Reader(empty), "/")
            tell(f"  {'an empty page of Flask':28s} median {nothing:6.1f} ms")
            reader = Reader(server.address)
            for path in paths(store):
                first, median, late = _times(reader, path)
                shown = path.replace(uid_of("bench", "1"), "…")
                tell(
                    f"  {shown:28s} median {median:6.1f} ms, p95 {late:6.1f} ms, first {first:6.1f} ms, {median / nothing:5.0f} times an empty one"
                )
            page, figure = reader.entry_ms(2, "wound-going")
            again = reader.ms("/")
            tell(
                f"  an entry: next page {page:.0f} ms, its figure after {figure:.0f} ms, then the Round page {again:.0f} ms"
            )
