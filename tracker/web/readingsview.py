"""What the page of readings shows: sittings side by side, a table of each, the figures of ISO 3159."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import get_args

from tracker import phrases, readingphrases
from tracker.core.chronometer import Result, daily_rates, seven_figures
from tracker.core.timing import POSITIONS, Occasion, Position, Reading, Summary, doubts, newest_sitting, summary
from tracker.words import say


@dataclass(frozen=True, slots=True)
class Row:
    """A position, and by column what was read there: lines of a cell, empty where nothing was."""

    position: Position
    lies: str
    cells: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Sitting:
    """The newest readings of one occasion."""

    occasion: str
    at: datetime
    summary: Summary
    columns: tuple[str, ...]
    rows: tuple[Row, ...]
    doubts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class View:
    """The page: its newest sitting of all first, one of each occasion; the seven figures where there is any day of them."""

    newest: Summary | None
    sittings: tuple[Sitting, ...]
    programme: tuple[Result, ...]
    days: int


def view(readings: Sequence[Reading]) -> View:
    """Of one watch's readings."""
    newest, rates = newest_sitting(readings), daily_rates(readings)
    found = [_sitting(each, own) for each in get_args(Occasion) if (own := newest_sitting(readings, each))]
    return View(summary(newest) if newest else None, tuple(found), seven_figures(rates) if rates else (), len(rates))


def _sitting(occasion: Occasion, readings: list[Reading]) -> Sitting:
    told = {_column(each): each.since_wind_min for each in readings}
    columns = sorted(told, key=lambda each: (told[each] is None, told[each]))
    rows = [_row(position, columns, readings) for position in POSITIONS]
    doubted = [_doubted(each) for each in readings if doubts(each)]
    return Sitting(
        phrases.capital(readingphrases.occasion(occasion)),
        max(each.at for each in readings),
        summary(readings),
        tuple(columns),
        tuple(row for row in rows if any(row.cells)),
        tuple(dict.fromkeys(doubted)),
    )


def _column(reading: Reading) -> str:
    if reading.state == "full wind":
        return say("at full wind")
    if reading.state == "after 24 h":
        return say("after 24 h")
    return readingphrases.since_wind(reading.since_wind_min) or say("not known how long after the wind")


def _row(position: Position, columns: Sequence[str], readings: Sequence[Reading]) -> Row:
    own = [each for each in readings if each.position == position]
    cells = [_cell([each for each in own if _column(each) == column]) for column in columns]
    return Row(position, readingphrases.lies(position), tuple(cells))


def _cell(readings: Sequence[Reading]) -> tuple[str, ...]:
    """The newest of them: rate, amplitude, beat error, a line each."""
    if not readings:
        return ()
    newest = max(readings, key=lambda each: each.at)
    rate, amplitude, beat = newest.rate_s_per_day, newest.amplitude_deg, newest.beat_error_ms
    told = [
        "" if rate is None else readingphrases.rate(rate),
        "" if amplitude is None else readingphrases.degrees(amplitude),
        "" if beat is None else say("beat error {n}", n=readingphrases.milliseconds(beat)),
    ]
    return tuple(each for each in told if each)


def _doubted(reading: Reading) -> str:
    return say(
        "{position}: {doubts}",
        position=readingphrases.position(reading.position),
        doubts=readingphrases.doubted(doubts(reading)),
    )
