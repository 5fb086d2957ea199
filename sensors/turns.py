"""Turns of a winder channel, hour by hour and by direction."""

import math
from collections.abc import Iterable
from typing import Literal, NamedTuple

HOUR_S = 3600.0
Direction = Literal["clockwise", "anticlockwise", "not known"]


class Hour(NamedTuple):
    """The turns of one hour of UTC, counted from 1970, each direction by itself.

    `heard_s` is how many seconds of it are accounted for by readings that followed each other; `bridged_s` how many lay
    in a silence over which a counter went on counting: their turns are known, but not when they were made, and so they
    are spread evenly. Of the rest of the hour nothing is known.
    """

    hour: int
    clockwise: float = 0.0
    anticlockwise: float = 0.0
    not_known: float = 0.0
    heard_s: float = 0.0
    bridged_s: float = 0.0

    @property
    def turns(self) -> float:
        """In either direction."""
        return self.clockwise + self.anticlockwise + self.not_known

    @property
    def known_s(self) -> float:
        """Seconds for which it is known how often it turned."""
        return self.heard_s + self.bridged_s


class Piece(NamedTuple):
    """Turns made between two moments, in seconds since 1970; `bridged` if nothing was heard between them."""

    from_s: float
    to_s: float
    turns: float
    direction: Direction = "not known"
    bridged: bool = False


def pour(open_hour: Hour | None, pieces: Iterable[Piece]) -> tuple[Hour | None, list[Hour]]:
    """Share pieces, in order of time, out to the hours: the hour still open, and those that are over."""
    over: list[Hour] = []
    for piece in pieces:
        for hour in range(math.floor(piece.from_s / HOUR_S), math.ceil(piece.to_s / HOUR_S)):
            if open_hour is None or open_hour.hour != hour:
                over += [open_hour] if open_hour else []
                open_hour = Hour(hour)
            open_hour = _with(open_hour, piece)
    return open_hour, over


def _with(hour: Hour, piece: Piece) -> Hour:
    begin_s = hour.hour * HOUR_S
    within_s = min(piece.to_s, begin_s + HOUR_S) - max(piece.from_s, begin_s)
    turns = piece.turns * within_s / (piece.to_s - piece.from_s)
    return Hour(
        hour.hour,
        hour.clockwise + (turns if piece.direction == "clockwise" else 0.0),
        hour.anticlockwise + (turns if piece.direction == "anticlockwise" else 0.0),
        hour.not_known + (turns if piece.direction == "not known" else 0.0),
        hour.heard_s + (0.0 if piece.bridged else within_s),
        hour.bridged_s + (within_s if piece.bridged else 0.0),
    )
