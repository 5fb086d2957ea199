"""When did it stop? The hands of a stopped watch say so, up to a whole turn of the dial.

What they show is read against the moment they were last set, so a DST night or a journey in between does not matter.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

TOLERANCE = timedelta(minutes=10)
"""How far a reading may be off, setting and reading together (common practice, no source)."""

DRIFT = timedelta(minutes=1) / timedelta(days=1)
"""How much further for each day since the hands were set: a watch that keeps poor time (common practice, no source)."""

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)

Span = tuple[datetime, datetime]


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """The hands were last set at about `set_at` (the earliest it can have been), to UTC + `offset`.

    From then on they show (UTC + offset) modulo the dial, whatever clocks on the wall do. Not set along with the rest,
    a date window says nothing; when it does, it belongs here.
    """

    set_at: datetime
    offset: timedelta


def setting(at: datetime, zone: str, within_min: float) -> Setting | None:
    """The hands were set to the wall time of `zone` (an IANA name) at about `at`.

    None if the wall clocks changed within the width of that moment: which of the two times was set is not known.
    """
    width = timedelta(minutes=within_min)
    offsets = {(at + side).astimezone(ZoneInfo(zone)).utcoffset() for side in (-width, width)}
    offset = offsets.pop()
    return None if offsets or offset is None else Setting(set_at=at - width, offset=offset)


def agree(first_min: int, later_min: int, dial_hours: int) -> bool:
    """Whether two readings (minutes on the dial) can be of the same stopped hands: each within `TOLERANCE` of them."""
    return abs(_apart(first_min, later_min, dial_hours)) <= 2 * TOLERANCE


def moments(hands: Setting, readings_min: Sequence[int], dial_hours: int, low: datetime, high: datetime) -> list[Span]:
    """The stretches of time within [low, high] in which a watch showing this can have stopped; ascending and apart.

    `readings_min` are minutes on the dial, one or more readings of the same hands of which any two `agree`. Each moment is as wide
    as its tolerance: `TOLERANCE` and `DRIFT` since the hands were set. Empty if nothing fits.
    """
    spans: list[Span] = []
    for early, late in _windows(hands, readings_min, dial_hours, low, high):
        start, end = max(early, low), min(late, high)
        if start > end:
            continue
        if spans and start <= spans[-1][1]:
            spans[-1] = (spans[-1][0], max(spans[-1][1], end))
        else:
            spans.append((start, end))
    return spans


def _windows(
    hands: Setting, readings_min: Sequence[int], dial_hours: int, low: datetime, high: datetime
) -> Iterator[Span]:
    turn = timedelta(hours=dial_hours)
    apart = [_apart(readings_min[0], reading, dial_hours) for reading in readings_min]
    start = low - _tolerance(hands, high) - turn
    moment = start + (_EPOCH + timedelta(minutes=readings_min[0]) - hands.offset - start) % turn
    while moment <= high + _tolerance(hands, high) + turn:
        tolerance = _tolerance(hands, moment)
        yield moment + max(apart) - tolerance, moment + min(apart) + tolerance
        moment += turn


def _tolerance(hands: Setting, moment: datetime) -> timedelta:
    return TOLERANCE + max(moment - hands.set_at, timedelta(0)) * DRIFT


def _apart(first_min: int, later_min: int, dial_hours: int) -> timedelta:
    """How far the later reading lies after the first, by the shorter way round the dial."""
    turn = dial_hours * 60
    return timedelta(minutes=(later_min - first_min + turn // 2) % turn - turn // 2)
