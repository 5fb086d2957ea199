"""Torque over a run from full wind to the stop, of one barrel or of several beside each other."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tracker.barrelwords import digits
from tracker.core.barrel.coils import coils_unwound, coils_wound
from tracker.core.barrel.entered import Barrel
from tracker.core.barrel.sums import Sums
from tracker.core.barrel.torque import in_series, torque_nmm
from tracker.plots.picture import BODY, DOUBT, INK, SOFT, WANT, Figure, Picture, Table, label, layout, line
from tracker.words import say

DASHES = ("solid", "dash", "dot", "dashdot", "longdash", "longdashdot")
COLOURS = (BODY, DOUBT, WANT, SOFT)
"""Neither alone tells lines apart: each carries its number at its end."""
PARTS = (0.0, 0.25, 0.5, 0.75, 1.0)
ROOM = 1.08
ALIKE = 0.01
"""Lines that differ by less than this share lie on each other."""


@dataclass(frozen=True, slots=True)
class Run:
    """A barrel to be drawn, what it is called, and its sums."""

    name: str
    barrel: Barrel
    found: Sums


def torque(runs: Sequence[Run], *, in_hours: bool) -> Picture:
    """The picture of these barrels, the first of them the present one.

    In hours since full wind, or, where the hours of a turn are not known, in turns that the train was given. Each line
    ends where the train stops, with the numbers of all barrels that run so.
    """
    drawn = _alike(runs, in_hours=in_hours)
    most = max((float(runs[numbers[0] - 1].found.torque_full_nmm) for numbers in drawn), default=1.0)
    unit = say("hours since full wind") if in_hours else say("turns since full wind")
    look = layout(
        {"rangemode": "tozero", "title": {"text": unit, "standoff": 6, "font": {"color": SOFT, "size": 12}}},
        {"range": [0.0, most * ROOM], "title": {"text": "N mm", "standoff": 6, "font": {"color": SOFT, "size": 12}}},
        annotations=_numbers(drawn, runs, in_hours=in_hours),
    )
    return Picture(
        figure={
            "data": [_line(place, numbers, runs, in_hours=in_hours) for place, numbers in enumerate(drawn)],
            "layout": look,
        },
        sentence=_sentence(runs[0]),
        key=tuple((str(number), run.name) for number, run in enumerate(runs, 1)),
        tables=(_table(runs),),
    )


def _alike(runs: Sequence[Run], *, in_hours: bool) -> list[list[int]]:
    """The numbers of the barrels that go at all, those whose lines can't be told apart together."""
    found: list[tuple[list[float], list[int]]] = []
    for number, run in enumerate(runs, 1):
        if float(run.found.usable_turns) <= 0.0:
            continue
        form = [_length(run, in_hours=in_hours), float(run.found.torque_full_nmm), float(run.found.torque_end_nmm)]
        same = next((numbers for other, numbers in found if np.allclose(form, other, rtol=ALIKE)), None)
        if same is None:
            found.append((form, [number]))
        else:
            same.append(number)
    return [numbers for _, numbers in found]


def _line(place: int, numbers: Sequence[int], runs: Sequence[Run], *, in_hours: bool) -> Figure:
    """A straight line, and what it says when touched."""
    run, first = runs[numbers[0] - 1], numbers[0] == 1
    colour = INK if first else COLOURS[place % len(COLOURS)]
    ends, gives = [0.0, _length(run, in_hours=in_hours)], [_at(run, 0.0), _at(run, 1.0)]
    drawn = line(ends, gives, colour=colour, dash=DASHES[place % len(DASHES)], width=3 if first else 2)
    return drawn | {"hoverinfo": "text", "text": ", ".join(runs[number - 1].name for number in numbers)}


def _numbers(drawn: Sequence[Sequence[int]], runs: Sequence[Run], *, in_hours: bool) -> list[Figure]:
    """The numbers at the ends, by turns above and below, so that near ones stay apart."""
    ends = sorted((_length(runs[numbers[0] - 1], in_hours=in_hours), tuple(numbers)) for numbers in drawn)
    return [
        label(
            ", ".join(map(str, numbers)),
            x=end,
            y=_at(runs[numbers[0] - 1], 1.0),
            colour=INK,
            yanchor="top" if place % 2 else "bottom",
        )
        for place, (end, numbers) in enumerate(ends)
    ]


def _length(run: Run, *, in_hours: bool) -> float:
    return float(run.found.reserve_h if in_hours else run.found.usable_turns)


def _at(run: Run, part: float) -> float:
    """Torque after this share of the run."""
    way = float(run.found.usable_turns) / float(in_series(run.barrel))
    return float(torque_nmm(run.barrel, float(coils_wound(run.barrel)) - part * way))


def _sentence(run: Run) -> str:
    full, end = float(run.found.torque_full_nmm), float(run.found.torque_end_nmm)
    if float(run.found.usable_turns) <= 0.0:
        return say("At full wind the train gets {full} N mm, and does not go on it.", full=digits(full, 2))
    why = say("where the strip lies at the wall") if _at_wall(run) else say("the least on which it goes")
    return say(
        "At full wind the train gets {full} N mm, at the stop {end}, {why}: {percent:.0f} % less.",
        full=digits(full, 2),
        end=digits(end, 2),
        why=why,
        percent=100.0 * (1.0 - end / full),
    )


def _at_wall(run: Run) -> bool:
    way = float(run.found.usable_turns) / float(in_series(run.barrel))
    return bool(np.isclose(way, float(coils_wound(run.barrel) - coils_unwound(run.barrel))))


def _table(runs: Sequence[Run]) -> Table:
    heads = (say("Full wind"), say("After a quarter"), say("Half"), say("Three quarters"), say("At the stop"))
    rows = tuple(
        (f"{number} {run.name}", *(say("{torque:.2f} N mm", torque=_at(run, part)) for part in PARTS))
        for number, run in enumerate(runs, 1)
    )
    return Table(say("Torque over the run, as the train gets it"), (say("Barrel"), *heads), rows)
