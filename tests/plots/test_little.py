"""One watch of many, small."""

from datetime import timedelta

import numpy as np
import pytest

from tests.plots.drawings import BERLIN, NOW, valid, worked_out
from tests.plots.test_rundowns import ROTATION, SERVICED
from tests.web.rounds import known
from tracker.core.segment import YEAR
from tracker.plots.little import HIGH, LOW, little
from tracker.plots.picture import Figure


def drawn(text: str, years: float = 5.0) -> Figure:
    _, segment, found = worked_out(text)
    figure = little(segment, found, threshold=0.1, start=NOW - years * YEAR, now=NOW, zone=BERLIN)
    assert figure is not None
    valid(figure)
    return figure


def test_the_band_is_a_share_of_what_the_reserve_was_at_first() -> None:
    _, segment, found = worked_out(ROTATION)
    track = found.history
    assert track is not None
    _, high, middle, _ = drawn(ROTATION)["data"]
    assert middle["y"][0] == pytest.approx(track.mid[0] / found.baseline_h.mid, abs=1e-3)
    at_last = np.interp(segment.now_years, track.age_years, track.high) / found.baseline_h.mid
    assert high["y"][-1] == pytest.approx(at_last, abs=1e-3)


def test_today_is_a_bar_from_low_to_high() -> None:
    _, _, found = worked_out(ROTATION)
    bar = drawn(ROTATION)["data"][-1]
    ends = [found.reserve_h.low / found.baseline_h.mid, found.reserve_h.high / found.baseline_h.mid]
    assert bar["y"] == pytest.approx(ends, abs=1e-3)
    assert bar["x"] == ["2026-11-25 08:25"] * 2


def test_all_are_on_one_scale_and_none_leaves_it() -> None:
    for text in (ROTATION, SERVICED):
        figure = drawn(text)
        assert figure["layout"]["yaxis"]["range"] == [LOW, HIGH]
        assert all(LOW <= share <= HIGH for trace in figure["data"] for share in trace["y"])


def test_the_share_that_counts_as_a_fall_is_marked() -> None:
    axis = drawn(ROTATION)["layout"]["yaxis"]
    assert (axis["tickvals"], axis["ticktext"]) == ([1, 0.9], ["at first", "10 % less"])


def test_a_service_is_marked_and_where_none_is_known_nothing() -> None:
    def dotted(text: str) -> int:
        return sum(shape["line"]["dash"] == "dot" for shape in drawn(text)["layout"]["shapes"])

    assert (dotted(SERVICED), dotted(ROTATION)) == (1, 0)


def test_what_lies_before_the_axis_is_cut() -> None:
    start = (NOW - YEAR).astimezone(BERLIN)
    first = min(trace["x"][0] for trace in drawn(SERVICED, years=1.0)["data"])
    assert first == f"{start:%Y-%m-%d %H:%M}"


def test_nothing_worked_out_nothing_drawn() -> None:
    _, segment, _ = worked_out(ROTATION)
    assert little(segment, known(), threshold=0.1, start=NOW - timedelta(days=9), now=NOW, zone=BERLIN) is None
