"""Time of one sensor's page with a year of readings, one a minute, at a real server: printed, never judged.

`python -m pytest tests/bench/bench_sensor.py -s` (files of this name are not collected otherwise).
"""

import random
import statistics
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from sensors.kinds import Level
from sensors.rest import Setup, Span, Stop, fold
from tests.bench.bench_pages import Reader, served, tell
from tracker.collection import open_collection, owner
from tracker.commands.door import submit
from tracker.commands.sensor import AddSensor
from tracker.store.sensed.migrations import open_sensed

MINUTES = 365 * 24 * 60
SPAN = "INSERT INTO going_span (sensor, from_s, to_s, state, ended, settled) VALUES (1, ?, ?, ?, ?, 1)"


def readings(now_s: float) -> list[tuple[float, float]]:
    """Going for forty hours, stopped for eight, with a silence of some hours every other week."""
    rng = random.Random("year")
    silent = {minute + n for minute in range(0, MINUTES, 20_000) for n in range(rng.randrange(10, 600))}
    return [
        (now_s - 60.0 * ago, rng.gauss(0.6 if (MINUTES - ago) % 2880 < 2400 else 0.02, 0.01))
        for ago in range(MINUTES, 0, -1)
        if ago not in silent
    ]


@pytest.mark.bench
def test_the_page_of_a_sensor_with_a_year_of_readings(tmp_path: Path) -> None:
    now = datetime.now(UTC)
    sensor = AddSensor(name="tray", topic="tray", expected_s=60, reports="level", upper=0.4, lower=0.2)
    with closing(open_collection(tmp_path, now)) as store:
        submit(store, [sensor], owner(store, "page", now))
    told = readings(now.timestamp())
    _, found = fold(Setup(Level(0.4, 0.2), expected_s=60.0), told)
    with closing(open_sensed(tmp_path)) as file, file.change() as db:
        db.execute("INSERT INTO sensed (sensor_uid, arrived_s) VALUES (?, ?)", [sensor.uid, told[-1][0]])
        db.conn.executemany("INSERT INTO reading VALUES (1, ?, ?, 1)", told)
        spans = [(each.from_s, each.to_s, each.state, each.end) for each in found if isinstance(each, Span)]
        db.conn.executemany(SPAN, spans)
        stops = [each for each in found if isinstance(each, Stop)]
        db.conn.executemany("INSERT INTO sensor_stop VALUES (1, ?, ?, 1)", stops)
    tell(f"\n{len(told)} readings of a year, {len(spans)} spans")
    with served(tmp_path) as server:
        reader = Reader(server.address)
        for days in (1, 30, 365):
            path = f"/sensors/{sensor.uid}?days={days}"
            cold, warm = reader.ms(path), statistics.median(reader.ms(path) for _ in range(7))
            tell(f"  the last {days:3d} days: first {cold:5.0f} ms, then {warm:5.0f} ms")
