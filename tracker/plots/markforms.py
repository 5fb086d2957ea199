"""Marks as they are drawn: every kind of evidence by a form of its own, told apart without colour."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby
from zoneinfo import ZoneInfo

from tracker import phrases
from tracker.core.rundown import RunDown
from tracker.plots import dates
from tracker.plots.frame import Frame
from tracker.plots.marks import Form, Mark
from tracker.plots.picture import DOUBT, INK, PAST, SOFT, Figure
from tracker.words import say

Told = Callable[[RunDown], str]
"""How the page says what a run tells."""
Said = Callable[[Mark], tuple[str, str]]
"""When a mark's run began, and what it tells."""

ENDS = {
    "point": (("circle", 6),),
    "bar": (("line-ew", 5), ("line-ew", 5)),
    "up": (("line-ew", 5), ("triangle-up-open", 7)),
    "down": (("line-ew", 5), ("triangle-down-open", 7)),
    "out": (("circle-open", 4),),
}
"""Symbol and size of each point of a form, from its foot on."""
LIKELIEST, UNLIKELY = ("circle", 5), ("circle", 2)
"""Moments that the hands allow."""
HELD = ("diamond-open", 8)
"""The foot of a run that is held back."""
JOINED = ("bar", "up", "down")
"""Forms whose points are joined by a line."""
MOST_TELLING = {"up": "the longest: {told}", "down": "the shortest: {told}", "out": "left out"}
"""What is said of runs of a month that are drawn as one."""
ARROW = 0.05
"""Length of an arrow, as a share of the picture's height."""


@dataclass(frozen=True, slots=True)
class Style:
    """How marks alike are drawn."""

    form: Form
    former: bool
    held: bool

    @property
    def colour(self) -> str:
        """Dark for runs that count, paler for those before the last service, the colour of doubt for one held back."""
        return DOUBT if self.held else PAST if self.former else INK if self.form == "point" else SOFT


def meaning() -> dict[Form, tuple[str, str]]:
    """What each form means: the form as a letter of text, and words."""
    return {
        "point": ("●", say("stopped then")),
        "bar": ("┃", say("stopped between")),
        "up": ("↑", say("at least; still going")),
        "down": ("↓", say("at most")),
        "dots": ("⋮", say("one of these, by its hands; the likeliest is larger")),
        "out": ("○", say("left out")),
    }


def drawn(marks: Sequence[Mark], said: Said, frame: Frame, zone: ZoneInfo) -> list[Figure]:
    """The marks that the frame holds, those alike in one trace."""
    shown = sorted((mark for mark in marks if frame.shows(mark)), key=lambda mark: (_rank(mark), mark.at))
    return [_trace(style, list(alike), said, frame, zone) for style, alike in groupby(shown, key=_style_of)]


def words(mark: Mark, told: Told, now: datetime, zone: ZoneInfo) -> tuple[str, str]:
    """When the run of a mark began, and what it tells."""
    text = told(mark.run)
    if mark.count > 1:
        when = say("{n} runs in {month}", n=mark.count, month=dates.month(mark.at, zone))
        return when, say(MOST_TELLING[mark.form], told=text)
    if mark.held:
        text = say("{told}; held back until it is known whether it was wound in between", told=text)
    return phrases.when(mark.at, now, zone), text


def _style_of(mark: Mark) -> Style:
    return Style(mark.form, mark.former, mark.held)


def _rank(mark: Mark) -> tuple[bool, bool, str]:
    """Those that count are drawn last, over the others."""
    return mark.held, not mark.former, mark.form


def _trace(style: Style, marks: Sequence[Mark], said: Said, frame: Frame, zone: ZoneInfo) -> Figure:
    points = [point for mark in marks for point in _points(mark, said, frame, zone)]
    x, y, text, symbol, size = (list(column) for column in zip(*points, strict=True))
    return {
        "type": "scatter",
        "mode": "lines+markers" if style.form in JOINED else "markers",
        "x": x,
        "y": y,
        "text": text,
        "hovertemplate": "%{text}<extra></extra>",
        "connectgaps": False,
        "line": {"color": style.colour, "width": 1},
        "marker": {
            "opacity": 1,
            "symbol": symbol,
            "size": size,
            "color": style.colour,
            "line": {"color": style.colour, "width": 1},
        },
    }


Point = tuple[str, float | None, str, str, int]
"""Where, how high, what it says, its symbol and size."""


def _points(mark: Mark, said: Said, frame: Frame, zone: ZoneInfo) -> Iterator[Point]:
    """One mark's points, and a gap after those that are joined."""
    when, told = said(mark)
    x, text = dates.local(mark.at, zone), "<br>".join((when, *told.split("; ")))
    heights = _heights(mark, frame)
    for hours, (symbol, size) in zip(heights, _ends(mark), strict=True):
        yield x, round(hours / frame.unit_h, 3), text, symbol, size
    if mark.form in JOINED:
        yield x, None, "", "circle", 1


def _ends(mark: Mark) -> Sequence[tuple[str, int]]:
    if mark.held:
        return [HELD, *ENDS.get(mark.form, ())[1:]] if mark.form != "dots" else [HELD] * len(mark.anchors_h)
    if mark.form != "dots":
        return ENDS[mark.form]
    return [LIKELIEST if index == mark.likeliest else UNLIKELY for index in range(len(mark.anchors_h))]


def _heights(mark: Mark, frame: Frame) -> tuple[float, ...]:
    """The hours of a mark's points; an arrow points on, a run left out lies on the floor of the picture."""
    tall_h = frame.high_h - frame.low_h
    if mark.form == "out":
        return (frame.low_h + tall_h / 50.0,)
    if mark.form in {"up", "down"}:
        foot = mark.anchors_h[0]
        return foot, foot + ARROW * tall_h * (1.0 if mark.form == "up" else -1.0)
    return mark.anchors_h
