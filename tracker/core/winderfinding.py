"""What the turns of a winder say of the watch on it: no turns, too few, or enough and yet it stopped.

A finding that holds is given up only when what it rests on has clearly gone: it never flaps. Time of which nothing is known
speaks neither for turns nor against them.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Literal, Protocol

from tracker.core.watch import WinderWay

Word = Literal["no turns", "not heard", "too few turns", "enough turns, yet stopped"]
Whose = Literal["owner", "usual"]

USUAL_A_DAY = 650.0
"""Turns a day where nobody has said how many the watch needs; 650 to 800 is usual (common practice, no source)."""
USUAL_AT_MOST = 800.0
PAUSE_H = 24.0
"""The longest pause of a programme, where none is said."""
WINDOW_H = 72
"""Turns a day are those of the last three days …"""
LEAST_KNOWN_H = 48.0
"""… if so much of them is known."""
FAR_BELOW = 0.9
"""Too few is said below this share of the need, and taken back only at the need itself."""
TURNS_AGAIN = 50.0
"""A winder that made so many turns since it stood still is turning again."""
A_TURN = 0.5
"""Fewer in an hour are none: a part of a turn may be left over from the hour before."""
_HOUR = timedelta(hours=1)


class HourOfTurns(Protocol):
    """Turns of one hour of UTC, counted from 1970, and how many seconds of it are known."""

    @property
    def hour(self) -> int:
        """Hours since 1970."""

    @property
    def clockwise(self) -> float:
        """Turns."""

    @property
    def anticlockwise(self) -> float:
        """Turns."""

    @property
    def not_known(self) -> float:
        """Turns of which the direction is not known."""

    @property
    def known_s(self) -> float:
        """Seconds."""


@dataclass(frozen=True, slots=True)
class Need:
    """Turns a day that a watch needs in the directions that wind it, and whose figure it is."""

    turns_a_day: float = USUAL_A_DAY
    way: WinderWay = "both"
    whose: Whose = "usual"


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """A watch on its winder, as far as it is known now.

    `hours` are those of its seat since `on_since`, in order. `stops_at` is when it would stop as it is wound now (None:
    not known); `holds` whether by its state of wind the turns it gets keep it going. `stopped_at`: since when it stands,
    None while it is not known to stand. `listened`: whether messages could be heard all the time.
    """

    hours: Sequence[HourOfTurns]
    on_since: datetime
    need: Need = Need()
    pause_h: float = PAUSE_H
    notice_h: float = 3.0
    stops_at: datetime | None = None
    holds: bool = False
    stopped_at: datetime | None = None
    listened: bool = True


@dataclass(frozen=True, slots=True)
class Finding:
    """What is found, and since when: the last turn, the last message, the beginning of the days counted, the stop.

    `a_day` is the turns a day that count (None where none could be counted).
    """

    word: Word
    since: datetime
    a_day: float | None = None
    stops_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Rate:
    """Turns a day, by direction, over the known part of some hours; `known_h` is how long that is."""

    clockwise: float
    anticlockwise: float
    not_known: float
    known_h: float

    @property
    def turns(self) -> float:
        """In either direction."""
        return self.clockwise + self.anticlockwise + self.not_known


def turns_a_day(hours: Sequence[HourOfTurns], begin: datetime, end: datetime) -> Rate | None:
    """Turns a day from one moment to another, by whole hours; None where nothing of them is known."""
    first, beyond = -(-begin.timestamp() // 3600.0), end.timestamp() / 3600.0
    counted = [each for each in hours if first <= each.hour < beyond]
    known_h = sum(each.known_s for each in counted) / 3600.0
    if known_h <= 0.0:
        return None
    per = 24.0 / known_h
    return Rate(
        per * sum(each.clockwise for each in counted),
        per * sum(each.anticlockwise for each in counted),
        per * sum(each.not_known for each in counted),
        known_h,
    )


def useful(rate: Rate, way: WinderWay) -> float:
    """The turns a day that can wind it; those of which the direction is not known may all be."""
    if way == "both":
        return rate.turns
    return rate.not_known + (rate.clockwise if way == "clockwise" else rate.anticlockwise)


def find(held: Finding | None, seat: Seat, now: datetime) -> Finding | None:
    """What holds of a watch on its winder now, given what was found before; None where there is nothing to be said.

    What was found keeps its beginning. Asked again with its answer, the answer is the same.
    """
    kept = _still(held, seat, now) if held is not None else None
    for found in (_stopped(seat), _quiet(seat, now)):
        if found is not None:
            return kept if kept is not None and kept.word == found.word else found
    return kept or _too_few(seat, now, FAR_BELOW)


def _still(held: Finding, seat: Seat, now: datetime) -> Finding | None:
    """What was found before, brought up to now, if it has not clearly gone."""
    if held.since < seat.on_since - _HOUR and held.word != "enough turns, yet stopped":
        return None
    if held.word in {"no turns", "not heard"}:
        since = sum(_turns(each) for each in seat.hours if _end(each, now) > held.since)
        heard_again = held.word == "not heard" and _known_h(seat.hours, held.since, now) >= 1.0
        return None if since >= TURNS_AGAIN or heard_again else Finding(held.word, held.since, None, seat.stops_at)
    if held.word == "too few turns":
        few = _too_few(seat, now, 1.0)
        return few and Finding(few.word, held.since, few.a_day, few.stops_at)
    return held if seat.stopped_at is not None and abs(seat.stopped_at - held.since) < _HOUR else None


def _stopped(seat: Seat) -> Finding | None:
    """It stands, though before the stop it got the turns it needs (of the usual figure, the upper one)."""
    if seat.stopped_at is None:
        return None
    rate = turns_a_day(seat.hours, max(seat.on_since, seat.stopped_at - WINDOW_H * _HOUR), seat.stopped_at)
    if rate is None or rate.known_h < LEAST_KNOWN_H:
        return None
    wanted = USUAL_AT_MOST if seat.need.whose == "usual" else seat.need.turns_a_day
    surely = useful(rate, seat.need.way) - (0.0 if seat.need.way == "both" else rate.not_known)
    if surely < wanted or _quiet(seat, seat.stopped_at) is not None:
        return None
    return Finding("enough turns, yet stopped", seat.stopped_at, surely)


def _quiet(seat: Seat, now: datetime) -> Finding | None:
    """It has made no turn for longer than its programme rests, or will have stopped before that is over."""
    turned = max((_end(each, now) for each in seat.hours if _turns(each) >= A_TURN), default=seat.on_since)
    told_h = _known_h(seat.hours, turned, now)
    quiet_h = (now - turned) / _HOUR
    if quiet_h < seat.pause_h and not _stops_first(seat, turned, now):
        return None
    if told_h >= FAR_BELOW * quiet_h:
        return Finding("no turns", turned, None, seat.stops_at)
    heard = max((_end(each, now) for each in seat.hours if each.known_s > 0), default=seat.on_since)
    silent_h = (now - heard) / _HOUR
    if seat.listened and (silent_h >= seat.pause_h or (silent_h > 1.0 and _stops_first(seat, heard, now))):
        return Finding("not heard", heard, None, seat.stops_at)
    return None


def _stops_first(seat: Seat, turned: datetime, now: datetime) -> bool:
    """Whether the stop comes near, in a pause longer than any seen here before."""
    if seat.stops_at is None or seat.stops_at - seat.notice_h * _HOUR > now:
        return False
    return (now - turned) / _HOUR > _longest_pause_h(seat, turned) + 1.0


def _longest_pause_h(seat: Seat, until: datetime) -> float:
    """The longest row of hours without a turn that was seen before this one; an hour where nothing was."""
    longest = row = 1.0
    for each in seat.hours:
        row = 1.0 if _turns(each) >= A_TURN else row + 1.0
        if _begin(each) < until:
            longest = max(longest, row)
    return longest


def _too_few(seat: Seat, now: datetime, share: float) -> Finding | None:
    """Fewer turns a day than this share of the need, over three days of which two are known.

    Days of a winder that stood still were told of; they are not told again as too few.
    """
    begin = max(seat.on_since, now - WINDOW_H * _HOUR, _stood_until(seat))
    rate = turns_a_day(seat.hours, begin, now)
    if rate is None or rate.known_h < LEAST_KNOWN_H or seat.stopped_at is not None:
        return None
    counted = useful(rate, seat.need.way)
    # What keeps it going is enough, whatever is usual.
    if counted >= share * seat.need.turns_a_day or (seat.holds and seat.need.whose == "usual"):
        return None
    return Finding("too few turns", begin, counted, seat.stops_at)


def _stood_until(seat: Seat) -> datetime:
    """When the latest pause was over that was longer than the programme's."""
    until, turned = seat.on_since, seat.on_since
    for each in seat.hours:
        if _turns(each) >= A_TURN:
            until = _begin(each) if (_begin(each) - turned) / _HOUR >= seat.pause_h else until
            turned = _begin(each) + _HOUR
    return until


def _turns(each: HourOfTurns) -> float:
    return each.clockwise + each.anticlockwise + each.not_known


def _begin(each: HourOfTurns) -> datetime:
    return datetime.fromtimestamp(each.hour * 3600.0, UTC)


def _end(each: HourOfTurns, now: datetime) -> datetime:
    return min(_begin(each) + _HOUR, now)


def _known_h(hours: Sequence[HourOfTurns], begin: datetime, end: datetime) -> float:
    return sum(each.known_s for each in hours if begin <= _begin(each) < end) / 3600.0
