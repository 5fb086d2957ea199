"""A winder channel that counts: the turns between two counts, through wraps, restarts, leaps and lost messages.

Where two counts can be understood in two ways the lesser number of turns is taken: turns are never invented.
"""

from dataclasses import dataclass
from typing import Literal, NamedTuple

from sensors.rest import GAP_INTERVALS
from sensors.turns import HOUR_S, Direction, Piece

MOST_A_MINUTE = 30.0
"""No seat turns faster (common practice, no source): a step beyond that is no turning."""
Told = Literal["clockwise", "anticlockwise", "not known", "sign", "word"]
"""How the direction is told: fixed for the channel, or by the sign (plus is clockwise); a word comes as a sign, too."""
FIXED: dict[Told, Direction] = {"clockwise": "clockwise", "anticlockwise": "anticlockwise", "not known": "not known"}


def direction(told: Told, sign: float) -> Direction:
    """The direction of turns that came with this sign."""
    if told in FIXED:
        return FIXED[told]
    return "clockwise" if sign >= 0 else "anticlockwise"


def most(seconds: float, expected_s: float) -> float:
    """More turns can't have been made; by one expected interval longer, for messages come late."""
    return MOST_A_MINUTE * (seconds + expected_s) / 60.0


@dataclass(frozen=True, slots=True)
class Counter:
    """A running count, `per_turn` of it a turn.

    It goes up only, and by `told` *word* its sign is the direction of the latest turns; by *sign* it goes up clockwise
    and down anticlockwise. After `wraps_at` counts it begins at 0 again. `restarts_at_zero`: so it does when power comes
    back; without that a count that falls tells nothing, for it may have come back at a number kept.
    """

    told: Told = "not known"
    per_turn: float = 1.0
    wraps_at: float | None = None
    restarts_at_zero: bool = False

    def meant(self, value: float) -> float:
        """What makes a reading unlike another."""
        return value


class Count(NamedTuple):
    """A count at a moment, in seconds since 1970."""

    at_s: float
    value: float


class Broken(NamedTuple):
    """A count that can't have come about by turning (it fell, or leapt) came at `broke_s`, after `before`.

    The turns counted since are `held`: they are none if the count comes back to where it was.
    """

    before: Count
    broke_s: float
    held: tuple[Piece, ...] = ()


def counted(
    counter: Counter, expected_s: float, broken: Broken | None, last: Count, now: Count
) -> tuple[Broken | None, list[Piece]]:
    """What a count tells that comes after `last`: whether it is broken now, and the turns that are sure."""
    sure: list[Piece] = []
    if broken is not None and now.at_s - broken.broke_s > GAP_INTERVALS * expected_s:
        sure, broken = list(broken.held), None
    if broken is not None and (back := between(counter, expected_s, broken.before, now)) is not None:
        return None, [back]
    turned = between(counter, expected_s, last, now)
    if turned is None:
        restarted = _restarted(counter, expected_s, last, now)
        broken = broken or Broken(last, now.at_s)
        return broken._replace(held=broken.held + restarted), sure
    if broken is None:
        return None, [*sure, turned]
    return broken._replace(held=(*broken.held, turned)), sure


def between(counter: Counter, expected_s: float, last: Count, now: Count) -> Piece | None:
    """The turns between two counts, or None if the second can't have come of the first by turning."""
    since_s = now.at_s - last.at_s
    step, longest_s = _step(counter, last.value, now.value), since_s
    if step < 0 and counter.told != "sign":
        if counter.wraps_at is None:
            return None
        # A restart after a long silence must not pass for a wrap.
        step, longest_s = step + counter.wraps_at, min(since_s, HOUR_S)
    turns = abs(step) / counter.per_turn
    if turns > most(longest_s, expected_s) or (step < 0 and counter.told != "sign"):
        return None
    sign = now.value if counter.told == "word" else step
    return Piece(last.at_s, now.at_s, turns, direction(counter.told, sign), since_s > GAP_INTERVALS * expected_s)


def _step(counter: Counter, last: float, now: float) -> float:
    if counter.told == "word":
        return abs(now) - abs(last)
    if counter.told == "sign" and counter.wraps_at is not None:
        return (now - last + counter.wraps_at / 2.0) % counter.wraps_at - counter.wraps_at / 2.0
    return now - last


def _restarted(counter: Counter, expected_s: float, last: Count, now: Count) -> tuple[Piece, ...]:
    """What a count tells that began at 0 again: the turns it shows, if they can have been made since the one before."""
    since_s, turns = now.at_s - last.at_s, abs(now.value) / counter.per_turn
    fell = abs(now.value) < abs(last.value)
    if not (counter.restarts_at_zero and fell and turns <= most(since_s, expected_s)):
        return ()
    bridged = since_s > GAP_INTERVALS * expected_s
    return (Piece(last.at_s, now.at_s, turns, direction(counter.told, now.value), bridged),)
