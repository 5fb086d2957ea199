"""The run-down history as a picture: what it draws is what the core says."""

from dataclasses import replace
from functools import partial
from typing import Any

import numpy as np
import pytest

from tests.plots.drawings import BERLIN, NOW, daily, picture, valid, worked_out
from tracker import phrases
from tracker.core.peaks import Peak
from tracker.core.reserve import Band
from tracker.core.segment import YEAR
from tracker.plots.picture import BODY, DOUBT, PAST, SOFT, Picture
from tracker.plots.rundowns import rundowns
from tracker.web import runwords

ROTATION = "\n".join(
    f"""2026-{month:02}-{day:02} 08:00 wound, had stopped, set now
    2026-{month:02}-{day + 1:02} 10:00 seen going
    2026-{month:02}-{day + 1:02} 23:00 stopped"""
    for month in range(1, 11)
    for day in (2, 9, 16)
)
SERVICED = """
    2024-01-08 08:00 service
    2024-01-09 08:00 wound
    2024-01-10 20:00 seen going
    2024-01-11 02:00 stopped
    2024-02-01 08:00 service
    2024-02-02 08:00 wound
    2024-02-03 20:00 seen going
    2024-02-04 02:00 stopped
    """


def shown(text: str, *, held_uid: str | None = None) -> Picture:
    found = picture(text, held_uid=held_uid)
    assert found is not None
    valid(found.figure)
    return found


def by_name(found: Picture, name: str) -> list[dict[str, Any]]:
    """The traces whose markers, or whose line, are of this kind."""
    return [
        trace
        for trace in found.figure["data"]
        if name in {trace.get("fillcolor"), trace["line"].get("dash"), *trace.get("marker", {}).get("symbol", ())}
    ]


def test_nothing_is_drawn_before_a_run_that_tells_something_has_ended() -> None:
    assert picture("2026-11-24 08:00 wound") is None
    assert picture("2026-11-20 08:00 wound\n2026-11-24 08:00 wound") is None


def test_the_band_is_the_track_and_beyond_now_it_is_drawn_apart() -> None:
    _, segment, found = worked_out(ROTATION)
    track, since = found.history, segment.since
    assert track is not None
    assert since is not None
    was, comes = (trace for trace in shown(ROTATION).figure["data"] if trace.get("fill") == "tonexty")
    past = sum(age <= segment.now_years for age in track.age_years)
    assert was["y"][:past] == pytest.approx(track.high[:past], abs=0.001)
    assert comes["y"][1:-1] == pytest.approx(track.high[past : past + len(comes["y"]) - 2], abs=0.001)
    assert was["fillcolor"] != comes["fillcolor"]
    (dashed,) = by_name(shown(ROTATION), "dash")
    assert dashed["y"][0] == pytest.approx(np.interp(segment.now_years, track.age_years, track.mid), abs=0.001)


def test_the_threshold_is_the_share_lost_of_the_reserve_just_after_service() -> None:
    _, _, found = worked_out(SERVICED)
    levels = [shape["y0"] for shape in shown(SERVICED).figure["layout"]["shapes"] if shape["line"]["dash"] == "dashdot"]
    assert levels == [pytest.approx(0.9 * found.baseline_h.mid)]


def test_the_least_reserve_that_the_owner_wants_is_a_line_of_its_own() -> None:
    found = picture(SERVICED, least_h=33.0)
    assert found is not None
    layout = found.figure["layout"]
    assert [shape["y0"] for shape in layout["shapes"] if shape["line"]["dash"] == "dashdot"][1:] == [33.0]
    assert "least wanted" in {each["text"] for each in layout["annotations"]}
    far = picture(SERVICED, least_h=10.0)
    assert far is not None
    assert "least wanted" not in {each["text"] for each in far.figure["layout"]["annotations"]}


def test_services_and_now_are_upright_lines() -> None:
    shapes = shown(SERVICED).figure["layout"]["shapes"]
    upright = [(shape["x0"], shape["line"]["dash"]) for shape in shapes if shape.get("yref") == "paper"]
    assert upright == [("2026-11-25 08:25", "solid"), ("2024-01-08 09:00", "dot"), ("2024-02-01 09:00", "dot")]


def test_a_stop_between_two_ends_is_a_bar_between_them() -> None:
    (bars,) = [
        trace for trace in shown(ROTATION).figure["data"] if "line-ew" in trace.get("marker", {}).get("symbol", ())
    ]
    assert bars["y"][:3] == [26.0, 39.0, None]
    assert bars["mode"] == "lines+markers"


def test_a_daily_winders_month_is_one_open_arrow_upward_with_its_count() -> None:
    found = shown(daily(400))
    (arrows,) = by_name(found, "triangle-up-open")
    feet = [y for y, symbol in zip(arrows["y"], arrows["marker"]["symbol"], strict=True) if symbol == "line-ew"]
    assert len(feet) == 14
    assert set(feet) == {24.0}
    assert arrows["text"][3] == "30 runs in Nov 2025<br>the longest: at least 24 h"
    assert arrows["y"][1] > arrows["y"][0]


def test_runs_before_the_last_service_are_paler_and_the_key_says_so() -> None:
    found = shown(SERVICED)
    bars = [trace for trace in found.figure["data"] if "line-ew" in trace.get("marker", {}).get("symbol", ())]
    assert [trace["line"]["color"] for trace in bars] == [PAST, SOFT]
    assert "paler: before the last service" in dict(found.key).values()


def test_a_run_held_back_has_a_hollow_foot_of_its_own() -> None:
    (held,) = by_name(shown(ROTATION, held_uid="4"), "diamond-open")
    assert held["line"]["color"] == DOUBT


def test_the_table_has_every_mark_in_the_same_words_newest_first() -> None:
    found = shown(ROTATION)
    runs, _ = found.tables
    hovers = [text for trace in found.figure["data"] if "text" in trace for text in trace["text"] if text]
    assert {"<br>".join(row) for row in runs.rows} == set(hovers)
    assert runs.rows[0][0].startswith("Fri 2026-10-16")


def test_runs_out_of_the_picture_are_counted_and_stay_in_the_table() -> None:
    text = ROTATION + "\n2026-11-02 08:00 wound\n2026-11-12 08:00 stopped"
    found = shown(text)
    assert "outside the picture, in the table alone: 1" in dict(found.key).values()
    assert found.tables[0].rows[0][1] == "at most 240 h"


def test_the_second_table_tells_the_course_at_dates_of_the_axis() -> None:
    _, segment, found = worked_out(ROTATION)
    _, course = shown(ROTATION).tables
    track = found.history
    assert track is not None
    now = next(row for row in course.rows if row[0] == "now")
    assert now[1] == f"{np.interp((NOW - segment.since) / YEAR, track.age_years, track.mid):.0f} h"  # type: ignore[operator]


def test_no_axis_traps_a_thumb() -> None:
    layout = shown(ROTATION).figure["layout"]
    assert layout["dragmode"] is False
    assert layout["xaxis"]["fixedrange"]
    assert layout["yaxis"]["fixedrange"]


def test_a_long_reserve_is_drawn_in_days() -> None:
    text = """
        2026-01-01 08:00 wound
        2026-01-08 08:00 seen going
        2026-01-09 08:00 stopped
        """
    drawn = picture(text, 192.0)
    assert drawn is not None
    axis = drawn.figure["layout"]["yaxis"]
    assert axis["title"]["text"] == "days"
    assert 5 < axis["range"][0] < 7.5 < axis["range"][1] < 12


def of_several(text: str) -> Picture:
    history, segment, found = worked_out(text)
    halves = (Peak(0.5, Band(33.0, 34.0, 35.0)), Peak(0.5, Band(38.0, 39.0, 40.0)))
    two = replace(found, one_of_h=halves)
    told = partial(runwords.told, near_h=34.0)
    drawn = rundowns(history, segment, two, threshold=0.1, held_uid=None, told=told, now=NOW, zone=BERLIN)
    assert drawn is not None
    return drawn


def test_where_it_may_be_one_of_several_no_middle_is_drawn_or_tabled() -> None:
    drawn = of_several(ROTATION)
    one = [trace for trace in shown(ROTATION).figure["data"] if trace["line"].get("color") == BODY]
    assert len(one) == 2
    assert not [trace for trace in drawn.figure["data"] if trace["line"].get("color") == BODY]
    assert drawn.tables[1].heads == ("When", "Nine chances in ten")
    assert {len(row) for row in drawn.tables[1].rows} == {2}


def test_now_the_table_says_the_reserve_as_all_other_words_do() -> None:
    _, _, found = worked_out(ROTATION)
    (now,) = (row for row in shown(ROTATION).tables[1].rows if row[0] == "now")
    assert now[2] == phrases.span_in_hours(found.reserve_h.low, found.reserve_h.high)


def test_no_date_stands_twice_in_the_table() -> None:
    for text in (ROTATION, SERVICED):
        said = [row[0] for row in shown(text).tables[1].rows]
        assert len(said) == len(set(said))
