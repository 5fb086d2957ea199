"""One watch of many: its reserve over the years as a share of what it was just after its service, on one scale for all."""

from collections.abc import Iterator
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from tracker.core.reserve import Band, Estimate
from tracker.core.segment import Segment
from tracker.plots import coursewords, dates
from tracker.plots.course import Course, ground, middle
from tracker.plots.picture import INK, LINE, SOFT, WANT, Figure, layout, upright
from tracker.words import say

LOW, HIGH = 0.6, 1.3
"""Shares between which all are drawn; what lies beyond is drawn at the edge."""
MOST_DATES = 4
LEAST_APART = 0.1


def little(
    segment: Segment, estimate: Estimate, *, threshold: float, start: datetime, now: datetime, zone: ZoneInfo
) -> Figure | None:
    """The picture, from `start` to `now`; None where nothing has been worked out."""
    track, since = estimate.history, segment.since
    if track is None or since is None:
        return None
    at_first_h = estimate.baseline_h.mid
    course = Course(track, since, segment.asked_at)
    ends = [dates.local(moment, zone) for moment in (start, now)]
    shares = {"range": [LOW, HIGH], "showgrid": False, **_levels(threshold)}
    years = {"type": "date", "range": ends, "showgrid": False, **dates.ticks(start, now, zone, most=MOST_DATES)}
    lines = [_level(1.0, ends, LINE, "solid"), _level(1.0 - threshold, ends, WANT, "dashdot")]
    if segment.serviced:
        lines.append(upright(dates.local(since, zone), colour=SOFT, dash="dot"))
    points = course.between(max(since, start), max(segment.asked_at, start))
    figure = layout(years, shares, shapes=lines, margin={"l": 76, "r": 10, "t": 6, "b": 24})
    figure["font"] = {**figure["font"], "size": 12}
    drawn = [
        *ground(points, at_first_h, zone),
        *([] if estimate.one_of_h else [middle(points, at_first_h, zone)]),
        _today(estimate.reserve_h, at_first_h, ends[1]),
    ]
    return {"data": [_kept_within(trace) for trace in drawn], "layout": figure}


def _levels(threshold: float) -> dict[str, list[Any]]:
    """Marks at the first reserve and at the threshold; if they are near, only the latter has room for its words."""
    less = say("{share} less", share=coursewords.share(threshold))
    if threshold < LEAST_APART:
        return {"tickvals": [1 - threshold], "ticktext": [less]}
    return {"tickvals": [1, 1 - threshold], "ticktext": [say("at first"), less]}


def _level(share: float, ends: list[str], colour: str, dash: str) -> Figure:
    line = {"color": colour, "width": 1, "dash": dash}
    return {"type": "line", "x0": ends[0], "x1": ends[1], "y0": share, "y1": share, "line": line}


def _today(now: Band, at_first_h: float, at: str) -> Figure:
    """The band of today as an upright bar, which is seen also where a service was yesterday."""
    ends = [round(hours / at_first_h, 3) for hours in (now.low, now.high)]
    style = {"color": INK, "width": 3}
    return {"type": "scatter", "mode": "lines", "x": [at, at], "y": ends, "line": style, "hoverinfo": "skip"}


def _kept_within(trace: Figure) -> Figure:
    return {**trace, "y": list(_within(trace["y"])), "cliponaxis": False}


def _within(shares: list[float]) -> Iterator[float]:
    for share in shares:
        yield min(max(share, LOW), HIGH)
