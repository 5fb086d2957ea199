"""The mark of what an estimate is made from."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from tracker.core.evidence import at_least, between, exact
from tracker.core.likelihood import Run
from tracker.core.prior import prior_for
from tracker.core.segment import Segment
from tracker.core.telling import Look
from tracker.madefrom import made_from

NOW = datetime(2026, 3, 1, tzinfo=UTC)


def segment(hours: float = 40.0) -> Segment:
    runs = (Run(0.5, exact(hours)), Run(0.75, at_least(30.0)), Run(1.0, between(38.0, 44.0)))
    return Segment(since=NOW, serviced=False, runs=runs, asked_at=NOW, now_years=1.25)


def mark(of: Segment, look: Look | None = None, *, least_h: float | None = None, threshold: float = 0.1) -> str:
    return made_from(of, prior_for(42.0), threshold, least_h, look)


def test_what_is_made_from_equal_parts_has_one_mark() -> None:
    assert mark(segment(), Look(5.0, 12), least_h=36.0) == mark(segment(), Look(5.0, 12), least_h=36.0)


def test_nor_does_it_matter_when_it_is_asked() -> None:
    assert mark(replace(segment(), asked_at=datetime(2026, 4, 1, tzinfo=UTC))) == mark(segment())


@pytest.mark.parametrize(
    "other",
    [
        mark(segment(40.000001)),
        mark(replace(segment(), runs=segment().runs[:-1])),
        mark(replace(segment(), runs=(Run(0.5000001, exact(40.0)), *segment().runs[1:]))),
        mark(replace(segment(), runs=(Run(0.5, at_least(40.0)), *segment().runs[1:]))),
        mark(replace(segment(), now_years=1.26)),
        mark(segment(), threshold=0.12),
        mark(segment(), least_h=36.0),
        mark(segment(), Look(5.0, 12)),
        made_from(segment(), prior_for(43.0), 0.1, None, None),
        made_from(segment(), prior_for(None), 0.1, None, None),
    ],
)
def test_any_other_part_has_another_mark(other: str) -> None:
    assert other != mark(segment())


def test_looks_differ_by_what_they_ask() -> None:
    assert len({mark(segment(), look) for look in (None, Look(5.0, 12), Look(5.0, 24), Look(6.0, 12))}) == 4
