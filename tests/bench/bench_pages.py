"""Time of pages and of figures beside a real server, for small and large collections: printed, never judged.

`python -m pytest tests/bench/bench_pages.py -s` (files of this name are not collected otherwise).
"""

import os
import random
import re
import statistics
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager, closing
from datetime import UTC, datetime, timedelta
from http.cookiejar import CookieJar
from pathlib import Path
from urllib.parse import urlencode, urljoin
from urllib.request import HTTPCookieProcessor, build_opener

import pytest

from tests.serving import Server, serving
from tests.soak import truth
from tests.soak.life import HABITS, START, YEAR, live
from tracker import derive
from tracker.collection import open_collection, owner
from tracker.commands.base import Who
from tracker.commands.door import submit
from tracker.commands.register import RegisterWatch
from tracker.core.timeline import Sighting, Wind
from tracker.store.estimates import forget_estimates
from tracker.store.moments import to_text
from tracker.store.store import Store
from tracker.uids import uid_of

ROOT = Path(__file__).parents[2]
DAY = timedelta(days=1)
RESERVE_H = 41.0
ACTS = ("seen-going", "wound-going", "seen-stopped")
"""Entries of which the first tells of the present run alone: no estimate is made anew."""

_COMMON = "(uid, watch_uid, at_utc, zone, within_min, noted_at_utc, person_uid, origin, note"
_VALUES = "VALUES (?, ?, ?, 'UTC', 0, ?, ?, 'page', ''"
WIND = f"INSERT INTO winding {_COMMON}, amount, found, hands, shown) {_VALUES}, 'full', ?, ?, ?)"
LOOK = f"INSERT INTO sighting {_COMMON}, seen, shown) {_VALUES}, ?, ?)"


def past(seed: str, number: int, years: float, now: datetime) -> Iterator[tuple[datetime, str, str | None]]:
    """Windings of a watch as (moment, found, hands shown): a daily winder, a rotation of five, a weekend watch by turns."""
    rng, gap_days = random.Random(f"{seed} {years}"), (1.0, 5.0, 3.5)[number % 3]
    at, shown_then = now - years * 365 * DAY, None
    while at < now - DAY:
        yield at, *(shown_then or ("going", None))
        length_h = RESERVE_H * rng.lognormvariate(0.0, 0.035)
        gap = max(0.5, rng.gauss(gap_days, 0.15 * gap_days)) * DAY
        stopped = at + timedelta(hours=length_h)
        read = f"{stopped.hour % 12 or 12}:{stopped.minute:02}" if rng.random() < 0.5 else None
        shown_then = None if at + gap < stopped else ("stopped", read)
        at += gap


def collection(folder: Path, count: int, years: float, *, lives: int = 1_000_000) -> Store:
    """So many watches with so many years of log; nothing of them is worked out. Rows are written past the door for speed.

    Of every `lives` watches the first has the same log as the first of the next ones, and so on.
    """
    now = datetime.now(UTC).replace(microsecond=0)
    store, watches, who = _registered(folder, count, now)
    rows = [
        (uid_of(watch.uid, str(at)), watch.uid, to_text(at), to_text(at), who.person_uid, found, "set now", shown)
        for number, watch in enumerate(watches)
        for at, found, shown in past(uid_of("bench", str(number % lives)), number % lives, years, now)
    ]
    looks = [
        (uid_of(uid, "look"), watch_uid, to_text(datetime.fromisoformat(at) + timedelta(hours=9)), at, person)
        for uid, watch_uid, at, _, person, *_ in rows[::7]
    ]
    return _written(store, rows, [(*look, "going", None) for look in looks])


def collection_by_habit(folder: Path, count: int, years: float) -> Store:
    """The same of watches whose owners live and note as those of the soak do, a habit after another."""
    now = datetime.now(UTC).replace(microsecond=0)
    store, watches, who = _registered(folder, count, now)
    # Hands show the same after half days.
    moved = (now - DAY - START - years * YEAR) // (DAY / 2) * (DAY / 2)
    winds, looks = [], []
    for number, watch in enumerate(watches):
        throws = random.Random(f"by habit {number}")
        life = live([*HABITS][number % len(HABITS)], truth.draw("stable", "none", throws), throws, years)
        for each in life.entries:
            at = to_text((each.at + moved).replace(microsecond=0))
            shown = each.shown if isinstance(each, Wind | Sighting) else None
            read = shown and f"{shown.minutes // 60 or 12}:{shown.minutes % 60:02}"
            told = uid_of(watch.uid, each.uid), watch.uid, at, at, who.person_uid
            if isinstance(each, Wind):
                winds.append((*told, each.found, each.hands, read))
            elif isinstance(each, Sighting):
                looks.append((*told, each.seen, read))
    return _written(store, winds, looks)


def _registered(folder: Path, count: int, now: datetime) -> tuple[Store, list[RegisterWatch], Who]:
    store = open_collection(folder, now)
    watches = [
        RegisterWatch(
            uid=uid_of("bench", str(number)), nickname=f"Watch {number:03}", stated_reserve_h=42, habit="keep going"
        )
        for number in range(count)
    ]
    who = owner(store, "page", now)
    submit(store, watches, who, then=lambda *_: None)
    return store, watches, who


def _written(store: Store, winds: Sequence[tuple[object, ...]], looks: Sequence[tuple[object, ...]]) -> Store:
    with store.change() as db:
        db.conn.executemany(WIND, winds)
        db.conn.executemany(LOOK, looks)
        db.execute("UPDATE watch SET log_counter = log_counter + 1")
    tell(f"\n{len(winds)} windings, {len(looks)} looks")
    return store


def served(folder: Path) -> AbstractContextManager[Server]:
    env = {**os.environ, "GOING_DATA": str(folder), "PYTHONPATH": str(ROOT)}
    return serving([sys.executable, "-m", "tracker", "serve", "--port", "0"], folder=folder, env=env)


class Reader:
    """Someone with a browser and a stopwatch."""

    def __init__(self, address: str) -> None:
        self.address = address
        self.opener = build_opener(HTTPCookieProcessor(CookieJar()))

    def ms(self, path: str = "/") -> float:
        began = time.perf_counter()
        self.page(path)
        return 1000 * (time.perf_counter() - began)

    def page(self, path: str, data: dict[str, str] | None = None) -> str:
        body = urlencode(data).encode() if data else None
        with self.opener.open(urljoin(self.address, path), body, timeout=300) as answer:
            return str(answer.read().decode())

    def entry_ms(self, number: int, act: str) -> tuple[float, float]:
        """Tap on a Watch page: until the next page is there, and until the figure is."""
        uid = uid_of("bench", str(number))
        fields = dict(re.findall(r'name="(csrf_token|key)" value="([^"]+)"', self.page(f"/watch/{uid}")))
        began = time.perf_counter()
        page = self.page("/log/tap", {**fields, "next": f"/watch/{uid}", "when": "now", "do": f"{act} {uid}"})
        answered = time.perf_counter()
        assert uid in page
        while '"waiting":0' not in self.page(f"/worked-out?watch={uid}"):
            time.sleep(0.002)
        return 1000 * (answered - began), 1000 * (time.perf_counter() - began)


def tell(line: str) -> None:
    print(line)  # noqa: T201 (as above)


def waiting(store: Store) -> int:
    return len(derive.in_line(store.reading(), datetime.now(UTC)))


def until_done(store: Store, meanwhile: Callable[[], object]) -> float:
    began = time.perf_counter()
    while waiting(store):
        meanwhile()
    return time.perf_counter() - began


@pytest.mark.bench
@pytest.mark.parametrize("made", [collection, collection_by_habit])
@pytest.mark.parametrize("count", [14, 200])
def test_the_round_and_a_new_entry_with_three_years_of_log(
    made: Callable[[Path, int, float], Store], count: int, tmp_path: Path
) -> None:
    with closing(made(tmp_path, count, 3)) as store:
        with served(tmp_path):
            tell(f"  worked out from nothing in {until_done(store, lambda: time.sleep(0.1)):.1f} s")
        with served(tmp_path) as server:
            reader = Reader(server.address)
            time.sleep(3.0)
            for path in ("/", "/collection", f"/watch/{uid_of('bench', '0')}"):
                cold, warm = reader.ms(path), [reader.ms(path) for _ in range(7)]
                tell(f"  {path[:12]:12s} first {cold:7.0f} ms   then {statistics.median(warm):7.0f} ms")
            for act in ACTS:
                entries = [reader.entry_ms(number, act) for number in range(12)]
                page, figure = (statistics.median(times) for times in zip(*entries, strict=True))
                worst = max(figure for _, figure in entries)
                tell(
                    f"  an entry ({act}): next page {page:.0f} ms, figure there after {figure:.0f} ms "
                    f"(worst of 12: {worst:.0f} ms)"
                )


@pytest.mark.bench
@pytest.mark.parametrize("made", [collection, collection_by_habit])
def test_two_hundred_watches_with_ten_years_of_log_from_nothing_while_pages_answer(
    made: Callable[[Path, int, float], Store], tmp_path: Path
) -> None:
    """Logs of `collection` tell as little as hands can: hardly seen going, days between, many moments for each stop."""
    with closing(made(tmp_path, 200, 10)) as store:
        with store.change() as db:
            forget_estimates(db)
        times: list[float] = []

        def read() -> None:
            times.append(reader.ms(("/", "/collection")[len(times) % 2]))
            time.sleep(0.2)

        with served(tmp_path) as server:
            reader = Reader(server.address)
            took_s = until_done(store, read)
    tell(
        f"  worked out from nothing in {took_s:.1f} s; {len(times)} pages meanwhile: "
        f"median {statistics.median(times):.0f} ms, worst {max(times):.0f} ms, the first {times[0]:.0f} ms"
    )
