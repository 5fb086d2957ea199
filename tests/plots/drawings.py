"""Watches to draw, and what a drawing is held against."""

from datetime import UTC, datetime, timedelta
from functools import partial
from zoneinfo import ZoneInfo

from tests.core.notes import read
from tracker.core.reserve import Estimate, estimate, prior_for
from tracker.core.rundown import History
from tracker.core.segment import Segment, present_segment
from tracker.plots.picture import Figure, Picture
from tracker.plots.rundowns import rundowns
from tracker.web import runwords

NOW = datetime(2026, 11, 25, 7, 25, tzinfo=UTC)
BERLIN = ZoneInfo("Europe/Berlin")


def valid(figure: Figure) -> None:
    """Refuse what plotly would not take."""
    import plotly.graph_objects as go  # type: ignore[import-untyped]  # noqa: PLC0415 -- slow to import, only asked here

    go.Figure(figure)


def worked_out(text: str, stated_h: float = 42.0) -> tuple[History, Segment, Estimate]:
    """The history of a log, and what it tells at NOW."""
    history = read(text)
    segment = present_segment(history, NOW)
    return history, segment, estimate(segment.runs, prior_for(stated_h), now_years=segment.now_years)


def picture(
    text: str, stated_h: float = 42.0, *, held_uid: str | None = None, least_h: float | None = None
) -> Picture | None:
    """The run-down history of a log; `held_uid` is the number of the line that begins the run held back."""
    history, segment, found = worked_out(text, stated_h)
    return rundowns(
        history,
        segment,
        found,
        threshold=0.1,
        least_h=least_h,
        held_uid=held_uid,
        told=partial(runwords.told, near_h=found.reserve_h.mid),
        now=NOW,
        zone=BERLIN,
    )


def daily(days: int, *, until: datetime = NOW) -> str:
    """A daily winder's log: wound every morning, always found going."""
    return "\n".join(
        f"{until - timedelta(days=day, hours=1):%Y-%m-%d %H:%M} wound, was going" for day in range(days, -1, -1)
    )
