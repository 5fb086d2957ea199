"""A year of readings of one watch, one a minute, through the path that the listener takes: time and size, printed.

`python -m pytest tests/bench/bench_year.py -s` (files of this name are not collected otherwise).
"""

import time
from contextlib import closing
from pathlib import Path
from random import Random

import pytest

from sensors.arrivals import Arrivals
from sensors.intake import sort_out
from sensors.keeper import Keeper
from sensors.topics import Routes
from tests.bench.bench_pages import tell
from tests.sensors.sensing import EVER, messages, rest_sensor, size
from tests.sensors.watchlife import live, sent
from tracker.store.sensed import reading
from tracker.store.sensed.migrations import FILE_NAME, open_sensed
from tracker.store.store import Store

DAYS, HOUR, KEPT_DAYS = 365, 60, 30
SHELF = rest_sensor()


def _mb(store: Store) -> float:
    store.reading().execute("PRAGMA wal_checkpoint(TRUNCATE)")
    return size(store.path) / 1e6


@pytest.mark.bench
def test_a_year_of_a_reading_a_minute_is_kept_and_followed(tmp_path: Path) -> None:
    chance = Random(1)
    readings = sent(live(chance, DAYS, knocked=0.2, knock_s=20.0), chance, DAYS)
    with closing(open_sensed(tmp_path)) as store:
        empty_mb = _mb(store)
        keeper, routes, arrivals = Keeper(store), Routes([SHELF]), Arrivals()
        keeper.set_up([SHELF], ())
        hours_s = []
        for start in range(0, len(readings), HOUR):
            batch = messages(readings[start : start + HOUR], SHELF)
            began = time.process_time()
            keeper.keep(sort_out(batch, routes, arrivals))
            hours_s.append(time.process_time() - began)
        month = len(hours_s) // 12
        db = store.reading()
        spans, stops = len(reading.spans(db, "shelf", *EVER)), len(reading.stops(db, "shelf", *EVER))
        whole_mb = _mb(store)
        again = Keeper(store)
        again.set_up([SHELF], ())
        began = time.process_time()
        again.keep(sort_out(messages(readings[-1:], SHELF), routes, arrivals))
        anew_ms = 1000 * (time.process_time() - began)
        keeper.forget(readings[-1][0] - KEPT_DAYS * 86_400.0)
        db.execute("VACUUM")
        month_mb = _mb(store)
    assert (tmp_path / FILE_NAME).exists()
    tell(
        f"\na year of a reading a minute: {len(readings)} readings, {spans} spans, {stops} stops\n"
        f"  kept and followed, an hour at a time: {sum(hours_s):.0f} s of the processor in all, {1e6 * sum(hours_s) / len(readings):.0f} µs a reading;"
        f" an hour of the first month {1000 * sum(hours_s[:month]) / month:.1f} ms, of the last {1000 * sum(hours_s[-month:]) / month:.1f} ms\n"
        f"  taken up again after a restart: {anew_ms:.0f} ms\n"
        f"  sensors.db: {whole_mb:.1f} MB with every reading, {month_mb:.1f} MB with those of {KEPT_DAYS} days and all spans, {empty_mb:.1f} MB empty"
    )
