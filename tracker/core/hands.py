"""When did it stop? The hands of a stopped watch say so, up to a whole turn of the dial.

What they show is read against the moment they were last set, so a DST night or a journey in between does not matter.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import TypeVar
from zoneinfo import ZoneInfo

from tracker.core.datewindow import may_show
from tracker.core.timeline import Shown

TOLERANCE = timedelta(minutes=10)
"""How far a reading may be off, setting and reading together (common practice, no source)."""

DRIFT = timedelta(minutes=1) / timedelta(days=1)
"""How much further for each day since the hands were set: a watch that keeps poor time (common practice, no source)."""

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_NONE = timedelta(0)
_PARTS = round(1 / DRIFT)

Span = tuple[datetime, datetime]
At = TypeVar("At", datetime, float)


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """The hands were last set at about `set_at` (the earliest it can have been), to UTC + `offset`.

    From then on they show (UTC + offset) modulo the dial, whatever clocks on the wall do, each reading within
    `tolerance` and the drift since. `dated` is the day to which the date was set along with them; without one a date
    window says nothing. Hands that were not set but ran on from a standstill have `loose`: they started within so much
    of `set_at`, either side, and what they show counts from that start, whenever it was.
    """

    set_at: datetime
    offset: timedelta
    tolerance: timedelta = TOLERANCE
    dated: date | None = None
    loose: timedelta | None = None


def setting(at: datetime, zone: str, within_min: float, *, date_set: bool = False) -> Setting | None:
    """The hands (and the date, if `date_set`) were set to the wall time of `zone` (an IANA name) at about `at`.

    None if the wall clocks changed within the width of that moment: which of the two times was set is not known.
    """
    clock, width = ZoneInfo(zone), timedelta(minutes=within_min)
    set_at = at - width
    offset = set_at.astimezone(clock).utcoffset()
    if offset is None or (width and offset != (at + width).astimezone(clock).utcoffset()):
        return None
    return Setting(set_at=set_at, offset=offset, dated=(set_at + offset).date() if date_set else None)


def shows_time_of(hands: Setting, now: datetime, zone: ZoneInfo, dial_hours: int) -> bool:
    """Whether hands set so show the time of this zone now, for all that is noted: a changed clock makes them wrong."""
    dial = timedelta(hours=dial_hours)
    off = (hands.offset - (now.astimezone(zone).utcoffset() or timedelta())) % dial
    return min(off, dial - off) <= hands.tolerance + (hands.loose or timedelta())


def ran_on(at: datetime, within_min: float, stood: Sequence[Shown], dial_hours: int) -> Setting | None:
    """The hands, left as they stood, ran on when the watch was started at about `at`; None if nobody read them.

    Of the readings `stood` the newest counts, and those before it for as long as they agree with it: where hands moved
    in between, the former ones say nothing. Each is within `TOLERANCE`, and a later reading again.
    """
    same = _same(stood[::-1], dial_hours)
    if not same:
        return None
    apart = [_apart(same[0].minutes, shown.minutes, dial_hours) for shown in same]
    reading = timedelta(minutes=same[0].minutes) + (max(apart) + min(apart)) / 2
    return Setting(
        set_at=at,
        offset=(_EPOCH + reading - at) % timedelta(hours=dial_hours),
        tolerance=2 * TOLERANCE - (max(apart) - min(apart)) / 2,
        loose=timedelta(minutes=within_min),
    )


def _same(readings: Sequence[Shown], dial_hours: int) -> list[Shown]:
    same: list[Shown] = []
    for shown in readings:
        if not all(agree(shown, other, dial_hours) for other in same):
            break
        same.append(shown)
    return same


def agree(first: Shown, later: Shown, dial_hours: int) -> bool:
    """Whether two readings can be of the same stopped hands: each within `TOLERANCE` of them, and the same date if read."""
    one_date = first.date is None or later.date is None or first.date == later.date
    return one_date and abs(_apart(first.minutes, later.minutes, dial_hours)) <= 2 * TOLERANCE


def moments(
    hands: Setting, readings: Sequence[Shown], dial_hours: int, low: datetime, high: datetime
) -> Iterator[Span]:
    """The stretches of time within [low, high] in which a watch showing this can have stopped; ascending and apart.

    `readings` are one or more of the same hands, of which any two `agree`. Each moment is as wide as its tolerance:
    that of the hands and `DRIFT` since they were set. If the date was set, moments of a wrong day are left out. Empty
    if nothing fits.
    """
    return joined(_windows(hands, readings, dial_hours, low, high))


def joined(spans: Iterable[tuple[At, At]]) -> Iterator[tuple[At, At]]:
    """The same stretches (ascending), those that touch made one."""
    last = None
    for low, high in spans:
        if last is not None and low <= last[1]:
            last = last[0], max(last[1], high)
            continue
        if last is not None:
            yield last
        last = low, high
    if last is not None:
        yield last


def elapsed(
    hands: Setting, readings: Sequence[Shown], dial_hours: int, least: timedelta, most: timedelta
) -> Iterator[tuple[timedelta, timedelta]]:
    """As `moments`, for hands that ran on: how long after their start they can have stopped, within [least, most].

    The tolerance is that of the two readings and `DRIFT` in between: how loosely the start is timed takes no part.
    """
    began = hands.set_at
    spans = moments(hands, readings, dial_hours, began + least, began + most)
    return ((low - began, high - began) for low, high in spans)


def _windows(
    hands: Setting, readings: Sequence[Shown], dial_hours: int, low: datetime, high: datetime
) -> Iterator[Span]:
    """One stretch for each turn of the dial, as far as it lies within [low, high]."""
    turn = timedelta(hours=dial_hours)
    apart = [_apart(readings[0].minutes, shown.minutes, dial_hours) for shown in readings]
    dates = [(off, shown.date) for off, shown in zip(apart, readings, strict=True) if shown.date is not None]
    sooner, later, wide = min(apart), max(apart), _tolerance(hands, high) + turn
    start, last = low - wide, high + wide
    moment = start + (_EPOCH + timedelta(minutes=readings[0].minutes) - hands.offset - start) % turn
    while moment <= last:
        tolerance = _tolerance(hands, moment)
        start, end = max(low, moment + later - tolerance), min(high, moment + sooner + tolerance)
        if start <= end and (not dates or all(_dated(hands, moment + off, day) for off, day in dates)):
            yield start, end
        moment += turn


def _dated(hands: Setting, moment: datetime, day: int) -> bool:
    return hands.dated is None or may_show(moment + hands.offset, hands.dated, day)


def _tolerance(hands: Setting, moment: datetime) -> timedelta:
    # Whole parts are many times as fast as a float.
    return hands.tolerance + max(moment - hands.set_at, _NONE) // _PARTS


def _apart(first_min: int, later_min: int, dial_hours: int) -> timedelta:
    """How far the later reading lies after the first, by the shorter way round the dial."""
    turn = dial_hours * 60
    return timedelta(minutes=(later_min - first_min + turn // 2) % turn - turn // 2)
