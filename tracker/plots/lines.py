"""What stands in a run-down history beside its runs: services, now, the threshold, the dates of a sudden drop."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from tracker.core.reserve import Estimate
from tracker.plots import coursewords, dates
from tracker.plots.frame import Frame
from tracker.plots.picture import DOUBT, DOUBT_BAND, INK, SOFT, WANT, Figure, above, label, upright
from tracker.words import say

LEAST_APART = 0.14
"""Upright lines nearer to each other than this share of the picture don't both carry their words."""

FAR_BELOW = 0.5
"""A least reserve of less than this share of the first would press the runs flat."""

Between = tuple[datetime, datetime]


@dataclass(frozen=True, slots=True)
class Level:
    """Hours that the reserve should not fall below, what is said of them, and since when they count."""

    name: str
    hours: float
    since: datetime


def levels(estimate: Estimate, since: datetime, threshold: float, least_h: float | None) -> list[Level]:
    """The share that counts as a fall (`threshold`), and the least reserve that the owner wants (hours) unless far below."""
    lost = say("{share} lost", share=coursewords.share(threshold))
    found = [Level(lost, estimate.baseline_h.mid * (1.0 - threshold), since)]
    if least_h is None or least_h < FAR_BELOW * estimate.baseline_h.mid:
        return found
    return [*found, Level(say("least wanted"), least_h, since)]


def shapes(  # noqa: PLR0917 -- all that is drawn
    services: Sequence[datetime],
    marked: Sequence[Level],
    drop: Between | None,
    within: Frame,
    now: datetime,
    zone: ZoneInfo,
) -> list[Figure]:
    """The lines, and the ground between the dates of a drop."""
    return [*_lines(services, now, zone), *(_level(level, within, zone) for level in marked), *_drop(drop, zone)]


def names(
    services: Sequence[datetime], marked: Sequence[Level], within: Frame, now: datetime, zone: ZoneInfo
) -> list[Figure]:
    """The words beside them."""
    return [*_names(services, within, now, zone), *(_level_name(level, within, zone) for level in marked)]


def _lines(services: Sequence[datetime], now: datetime, zone: ZoneInfo) -> Iterator[Figure]:
    yield upright(dates.local(now, zone), colour=INK)
    for service in services:
        yield upright(dates.local(service, zone), colour=SOFT, dash="dot", width=1.5)


def _names(services: Sequence[datetime], within: Frame, now: datetime, zone: ZoneInfo) -> Iterator[Figure]:
    """The words over the upright lines, from now backwards as far as they have room."""
    near = bool(services) and (now - services[-1]) / (within.end - within.start) < LEAST_APART
    last = now
    yield above(say("service, now") if near else say("now"), dates.local(now, zone), colour=INK)
    for service in reversed(services):
        if (last - service) / (within.end - within.start) >= LEAST_APART and service >= within.start:
            last = service
            yield above(say("service"), dates.local(service, zone))


def _level(level: Level, within: Frame, zone: ZoneInfo) -> Figure:
    y, ends = level.hours / within.unit_h, [dates.local(moment, zone) for moment in (level.since, within.end)]
    line = {"color": WANT, "width": 1.5, "dash": "dashdot"}
    return {"type": "line", "x0": ends[0], "x1": ends[1], "y0": y, "y1": y, "line": line}


def _level_name(level: Level, within: Frame, zone: ZoneInfo) -> Figure:
    place = {"xanchor": "right", "yanchor": "top", "colour": WANT}
    return label(level.name, x=dates.local(within.end, zone), y=level.hours / within.unit_h, **place)


def _drop(between: tuple[datetime, datetime] | None, zone: ZoneInfo) -> Iterator[Figure]:
    if between is not None:
        x0, x1 = (dates.local(moment, zone) for moment in between)
        ground = {"fillcolor": DOUBT_BAND, "line": {"color": DOUBT, "width": 1, "dash": "dot"}, "layer": "below"}
        yield {"type": "rect", "x0": x0, "x1": x1, "y0": 0, "y1": 1, "yref": "paper", **ground}
