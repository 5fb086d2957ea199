"""Readings thinned where they lie, beside the same readings taken whole and the spans the state machine finds in them."""

import math
from collections.abc import Iterator
from contextlib import closing
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sensors.kinds import Level
from sensors.rest import BEGIN, Setup, Span, fold, tail
from tracker.store.sensed.migrations import open_sensed
from tracker.store.sensed.thinned import Thinned, thinned
from tracker.store.store import Store

SETUP = Setup(Level(0.6, 0.4), expected_s=60.0)
BUCKETS = 20
Readings = list[tuple[float, float]]


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    folder: Path = tmp_path_factory.mktemp("sensed")
    with closing(open_sensed(folder)) as store:
        with store.change() as db:
            db.execute("INSERT INTO sensed (sensor_uid) VALUES ('other'), ('tray')")
            db.execute("INSERT INTO reading VALUES (1, 600, 99, 1)")
        yield store


@st.composite
def told(draw: st.DrawFn) -> Readings:
    """Readings in stretches of going, stopped and neither, with gaps, bumps and stamps that say two things."""
    count, rng = draw(st.integers(0, 600)), draw(st.randoms(use_true_random=False))
    at_s, now_s, level = set[tuple[float, float]](), 0.0, 0.5
    for _ in range(count):
        now_s += rng.choice([60.0] * 50 + [0.0, 180.0, 180.5, 3_600.0, 90_000.0])
        level = rng.choice([level] * 20 + [0.0, 0.5, 1.0])
        at_s.add((now_s, level + rng.choice([0.0] * 9 + [rng.uniform(-2, 2)])))
    return sorted(at_s)


def spans(readings: Readings) -> list[Span]:
    course, found = fold(SETUP, readings, BEGIN)
    last = tail(SETUP, course, readings[-1][0]) if readings else None
    return [*(each for each in found if isinstance(each, Span)), *([last] if last else [])]


def asked(file: Store, readings: Readings, found: list[Span]) -> Thinned:
    with file.change() as db:
        db.execute("DELETE FROM reading WHERE sensor = 2")
        db.conn.executemany("INSERT INTO reading VALUES (2, ?, ?, 1)", readings)
    return thinned(file.reading(), "tray", 0.0, math.inf, gap_s=SETUP.gap_s, spans=found, buckets=BUCKETS)


@settings(deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(readings=told(), with_spans=st.booleans())
def test_each_stretch_keeps_its_ends_extremes_and_gaps(file: Store, readings: Readings, *, with_spans: bool) -> None:
    few = asked(file, readings, spans(readings) if with_spans else [])
    points = [*zip(few.at_s, few.values, strict=True)]
    assert few.total == len(readings)
    assert points == sorted({*points} & {*readings})
    assert few.gaps_s == [one for (one, _), (other, _) in pairwise(readings) if other - one > SETUP.gap_s]
    before_and_after = [pair for pair in pairwise(readings) if pair[1][0] - pair[0][0] > SETUP.gap_s]
    assert {point for pair in before_and_after for point in pair} <= {*points}
    for stretch in stretches(readings):
        kept = [value for at_s, value in points if stretch[0][0] <= at_s <= stretch[-1][0]]
        values = [value for _, value in stretch]
        assert (min(kept), max(kept)) == (min(values), max(values))
        assert {stretch[0], stretch[-1]} <= {*points}


def stretches(readings: Readings) -> list[Readings]:
    """The readings of each of so many equal stretches of time that hold any."""
    if not readings:
        return []
    first_s, last_s = readings[0][0], readings[-1][0]
    edges = [first_s + (last_s - first_s) * n / BUCKETS for n in range(BUCKETS)] + [math.inf]
    cut = [[each for each in readings if start <= each[0] < end] for start, end in pairwise(edges)]
    return [each for each in cut if each]


def test_months_of_readings_are_few_points_and_a_bump_of_one_minute_is_seen(file: Store) -> None:
    readings = [(60.0 * minute, 0.0) for minute in range(50_000)]
    readings[30_000] = (1_800_000.0, 1.0)
    few = asked(file, readings, spans(readings))
    assert len(few.at_s) <= 4 * BUCKETS
    assert few.values.count(1.0) == 1


def test_of_a_sensor_never_heard_there_is_nothing(file: Store) -> None:
    none = thinned(file.reading(), "nobody", 0.0, math.inf, gap_s=180.0, spans=[])
    assert none == Thinned(0, [], [], [])
