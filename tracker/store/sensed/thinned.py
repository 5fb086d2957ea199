"""Many readings as few that hide nothing: thinned where they lie, so that a year of them need not be fetched."""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from sqlite_utils import Database

from sensors.rest import Span
from tracker.store.rows import one_row

BUCKETS = 400
Point = tuple[float, float]

_IN = "FROM reading WHERE sensor = ?1 AND at_s >= ?2 AND at_s < ?3"
# SQLite takes a bare column beside min() or max() from the row that has it (sqlite.org/lang_select.html, 2.5).
_LOWEST = f"SELECT count(*), at_s, min(value) {_IN}"
_HIGHEST = f"SELECT at_s, max(value) {_IN}"
_FIRST = f"SELECT at_s, value {_IN} ORDER BY at_s, value LIMIT 1"
_LAST = f"SELECT at_s, value {_IN} ORDER BY at_s DESC, value DESC LIMIT 1"
_ALL = f"SELECT at_s, value {_IN} ORDER BY at_s, value LIMIT ?4"


class Thinned(NamedTuple):
    """How many readings there are; stamps (s since 1970) and values of those kept, in order; the stamps before gaps."""

    total: int
    at_s: list[float]
    values: list[float]
    gaps_s: list[float]


def thinned(
    db: Database,
    sensor_uid: str,
    from_s: float,
    to_s: float,
    *,
    gap_s: float,
    spans: Sequence[Span],
    buckets: int = BUCKETS,
) -> Thinned:
    """Readings from a moment to another, both included: of each stretch of time the first, last, lowest and highest.

    The readings on both sides of a silence longer than `gap_s` stay. `spans` are all that touch this time, in order:
    by its making no span bridges a gap, so they are looked for only between spans.
    """
    row = one_row(db, "SELECT number FROM sensed WHERE sensor_uid = ?", [sensor_uid])
    if row is None:
        return Thinned(0, [], [], [])
    number, end_s = int(row["number"]), math.nextafter(to_s, math.inf)
    few: list[Point] = db.execute(_ALL, [number, from_s, end_s, 4 * buckets + 1]).fetchall()
    if len(few) <= 4 * buckets:
        gaps = [one for (one, _), (other, _) in pairwise(few) if other - one > gap_s]
        return Thinned(len(few), *_columns(few), gaps)
    last_s = db.execute(_LAST, [number, from_s, end_s]).fetchone()[0]
    total, kept, sides = 0, set[Point](), list[tuple[Point, Point]]()
    for stretch in _buckets(few[0][0], last_s, buckets):
        count, of_bucket = _bucket(db, number, *stretch)
        total, kept = total + count, kept | of_bucket
    for stretch in _between(spans, few[0][0], last_s, gap_s):
        sides += _gaps(db, number, *stretch, gap_s)
    points = sorted(kept.union(*sides))
    return Thinned(total, *_columns(points), [before[0] for before, _ in sides])


def _columns(points: Sequence[Point]) -> tuple[list[float], list[float]]:
    return [at_s for at_s, _ in points], [value for _, value in points]


def _buckets(first_s: float, last_s: float, count: int) -> Iterator[Point]:
    """Equal stretches of time, each without its end; the newest reading lies in the last."""
    edges = [first_s + (last_s - first_s) * n / count for n in range(count)]
    return pairwise([*edges, math.nextafter(last_s, math.inf)])


def _bucket(db: Database, number: int, from_s: float, to_s: float) -> tuple[int, set[Point]]:
    count, *lowest = db.execute(_LOWEST, [number, from_s, to_s]).fetchone()
    if not count:
        return 0, set()
    others = [db.execute(each, [number, from_s, to_s]).fetchone() for each in (_HIGHEST, _FIRST, _LAST)]
    return count, {(lowest[0], lowest[1]), *others}


def _between(spans: Sequence[Span], first_s: float, last_s: float, gap_s: float) -> Iterator[Point]:
    """Stretches from the first to the last reading that no span covers and a gap may lie in."""
    covered_s = first_s
    for from_s, to_s in [*((span.from_s, span.to_s) for span in spans), (last_s, last_s)]:
        if from_s - covered_s > gap_s:
            yield covered_s, from_s
        covered_s = max(covered_s, to_s)


def _gaps(db: Database, number: int, from_s: float, to_s: float, gap_s: float) -> list[tuple[Point, Point]]:
    """The readings before and after each gap."""
    rows = db.execute(
        "SELECT * FROM (SELECT lag(at_s) OVER told AS before_s, lag(value) OVER told, at_s, value FROM reading "
        "WHERE sensor = ? AND at_s BETWEEN ? AND ? WINDOW told AS (ORDER BY at_s, value)) WHERE at_s - before_s > ?",
        [number, from_s, to_s, gap_s],
    )
    return [((before_s, before), (after_s, after)) for before_s, before, after_s, after in rows.fetchall()]
