"""What a picture is, and the look that all of them share."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from tracker.words import speech

Figure = dict[str, Any]
"""A figure as plotly reads it: `data`, a list of traces, and `layout`."""

INK, SOFT, LINE, PAPER = "var(--ink)", "var(--soft)", "var(--line)", "var(--paper)"
BODY, PAST, DOUBT, WANT = "var(--body)", "var(--past)", "var(--doubt)", "var(--want)"
BAND, FAN, DOUBT_BAND = "var(--band)", "var(--fan)", "var(--doubt-band)"
CLEAR = "rgba(0,0,0,0)"


@dataclass(frozen=True, slots=True)
class Table:
    """The figures behind a picture, as said: heads of the columns and rows of cells.

    `orders` names the orders it can be asked for, one for each of the first columns, `keys` what each row then goes by.
    """

    caption: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    orders: tuple[str, ...] = ()
    keys: tuple[tuple[float, ...], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A figure, the sentence that says what it shows, what its marks mean (sign and words), the tables behind it."""

    figure: Figure
    sentence: str
    key: tuple[tuple[str, str], ...]
    tables: tuple[Table, ...]


def axis(**more: Any) -> Figure:
    """An axis that a thumb scrolls past: it neither zooms nor moves."""
    look = {
        "fixedrange": True,
        "zeroline": False,
        "gridcolor": LINE,
        "linecolor": LINE,
        "tickangle": 0,
        "tickfont": {"color": SOFT},
    }
    return {**look, **more}


def layout(x: Figure, y: Figure, **more: Any) -> Figure:
    """The ground of a picture: no frame, no buttons, nothing that moves, text as large as a phone needs it."""
    return {
        "paper_bgcolor": CLEAR,
        "plot_bgcolor": CLEAR,
        "font": {"family": "system-ui, sans-serif", "size": 13, "color": INK},
        "margin": {"l": 48, "r": 14, "t": 26, "b": 40},
        "separators": ",\N{NARROW NO-BREAK SPACE}" if speech().formats.decimal == "comma" else ".,",
        "showlegend": False,
        "dragmode": False,
        "hovermode": "closest",
        "hoverlabel": {"bgcolor": PAPER, "bordercolor": SOFT, "font": {"color": INK, "size": 13}, "align": "left"},
        "xaxis": axis(**x),
        "yaxis": axis(**y),
        **more,
    }


def line(x: Sequence[Any], y: Sequence[float | None], *, colour: str, dash: str = "solid", width: float = 2) -> Figure:
    """A line that says nothing when touched."""
    style = {"color": colour, "dash": dash, "width": width}
    return {"type": "scatter", "mode": "lines", "x": list(x), "y": list(y), "line": style, "hoverinfo": "skip"}


def points(x: Sequence[Any], y: Sequence[float | None], *, colour: str) -> Figure:
    """Dots that say nothing when touched."""
    style = {"color": colour, "size": 5}
    return {"type": "scatter", "mode": "markers", "x": list(x), "y": list(y), "marker": style, "hoverinfo": "skip"}


def band(x: Sequence[Any], low: Sequence[float], high: Sequence[float], *, fill: str) -> list[Figure]:
    """The ground between two lines."""
    below = line(x, low, colour=CLEAR, width=0)
    above = line(x, high, colour=CLEAR, width=0)
    return [below, {**above, "fill": "tonexty", "fillcolor": fill}]


def upright(x: Any, *, colour: str, dash: str = "solid", width: float = 1) -> Figure:
    """An upright line over the whole height."""
    style = {"color": colour, "dash": dash, "width": width}
    return {"type": "line", "x0": x, "x1": x, "y0": 0, "y1": 1, "yref": "paper", "line": style}


def label(text: str, *, x: Any, y: float, colour: str = SOFT, **more: Any) -> Figure:
    """Words in the picture, beside what they name."""
    look = {"text": text, "x": x, "y": y, "showarrow": False, "font": {"color": colour, "size": 12}}
    return {**look, **more}


def above(text: str, x: Any, *, colour: str = SOFT) -> Figure:
    """Words over an upright line."""
    return label(text, x=x, y=1.0, colour=colour, yref="paper", yanchor="bottom")
