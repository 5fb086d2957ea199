"""The frame of a run-down history."""

from datetime import timedelta

import pytest

from tests.plots.drawings import BERLIN, NOW, worked_out
from tests.plots.test_rundowns import ROTATION
from tracker.core.segment import YEAR
from tracker.plots.frame import Frame, frame
from tracker.plots.marks import Mark, marks


def framed(text: str, stated_h: float = 42.0) -> tuple[list[Mark], Frame]:
    history, segment, found = worked_out(text, stated_h)
    assert found.history is not None
    assert segment.since is not None
    given = marks(history, BERLIN, lambda _: found.reserve_h.mid)
    return given, frame(given, [30.0], found.history, segment.since, NOW)


def test_every_run_that_bears_on_the_reserve_is_held() -> None:
    given, within = framed(ROTATION)
    assert all(within.shows(mark) for mark in given)
    assert within.low_h < 26
    assert within.high_h > 39
    assert within.start < given[0].at


def test_levels_are_held_too() -> None:
    _, segment, found = worked_out(ROTATION)
    assert found.history is not None
    assert segment.since is not None
    assert frame([], [12.0], found.history, segment.since, NOW).holds(12.0)
    assert not frame([], [], found.history, segment.since, NOW).holds(12.0)


def test_a_run_far_off_does_not_press_the_others_flat() -> None:
    given, within = framed(ROTATION + "\n2026-11-02 08:00 wound\n2026-11-22 08:00 stopped")
    assert [mark.form for mark in given if not within.shows(mark)] == ["down"]
    assert within.high_h < 70


def test_a_bar_that_reaches_out_of_the_frame_is_shown_as_far_as_it_reaches() -> None:
    given, within = framed(ROTATION + "\n2026-11-02 08:00 wound\n2026-11-03 08:00 seen going\n2026-11-20 08:00 stopped")
    assert within.shows(given[-1])
    assert not within.holds(given[-1].anchors_h[1])


@pytest.mark.parametrize(("years", "ahead"), [(0.2, 0.5), (5.0, 2.0), (40.0, 5.0)])
def test_the_forecast_goes_on_for_a_share_of_what_is_known(years: float, ahead: float) -> None:
    start = NOW - years * YEAR
    days = (f"{start + timedelta(days=day):%Y-%m-%d %H:%M} wound, was going" for day in (0, 1))
    _, within = framed("\n".join(days))
    assert (within.end - NOW) / YEAR == pytest.approx(ahead, abs=0.01)
