"""Which spring fits this drum: what thicknesses and lengths would do, and which spring of a list comes nearest."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from tracker.core.barrel.cautions import FILL_HIGH, FILL_LOW, ROOM_LOST, SETS
from tracker.core.barrel.checked import check, fits
from tracker.core.barrel.coils import longest_mm
from tracker.core.barrel.entered import Barrel
from tracker.core.barrel.line import Strip
from tracker.core.barrel.sums import Sums, reckoned
from tracker.core.barrel.whatif import with_strip
from tracker.core.normal import FloatArray

WhyNot = Literal["not a strip", "too high", "too thick", "no room", "does not go"]
STEP_MM = 0.005
"""Strips are sold by steps of this thickness (common practice, no source)."""
MOST_ROWS = 200
DOES_NOT_GO_IN: frozenset[WhyNot] = frozenset({"not a strip", "too thick", "no room"})


@dataclass(frozen=True, slots=True, eq=False)
class Range:
    """Strips that would do in a drum: thicknesses of shape (n,); the others of shape (n, 3) for the least, best, longest.

    `length_mm` are the lengths at 0.4, 0.5 and 0.6 of the room; `turns`, `torque_full_nmm` and `reserve_h` what each
    gives. `off` is how far it is from what was there (see `off`), `nearest` the row and column where that is least.
    """

    thickness_mm: FloatArray
    length_mm: FloatArray
    turns: FloatArray
    torque_full_nmm: FloatArray
    reserve_h: FloatArray
    off: FloatArray
    nearest: tuple[int, int]


@dataclass(frozen=True, slots=True)
class Offer:
    """A spring of a list in the drum: what it gives and how far off that is, or why it does not do."""

    strip: Strip
    turns: float | None
    torque_full_nmm: float | None
    reserve_h: float | None
    off: float | None
    why_not: tuple[WhyNot, ...] = ()


def choices(barrel: Barrel) -> Range:
    """Strips of the barrel's height that would do in its drum, by steps of thickness, beside the strip that is in it.

    Thickness runs from where the arbor's radius is 16 thicknesses to where it is 10, length from 0.4 to 0.6 of the room
    (both common practice, no source). Free strips are as curved as the barrel's own.

    Raises:
        Unfit: the barrel can't be reckoned with.
    """
    check(barrel)
    thickness = _thicknesses(float(barrel.arbor_diameter_mm) / 2.0)
    of_room = np.array([FILL_LOW, 0.5, FILL_HIGH])
    length = float(longest_mm(barrel)) * float(barrel.thickness_mm) / thickness[:, None] * of_room
    found = reckoned(with_strip(barrel, thickness[:, None], length))
    away = off(found, reckoned(barrel))
    row, column = np.unravel_index(int(np.argmin(away)), away.shape)
    turns, torque, reserve = (np.asarray(each) for each in (found.turns, found.torque_full_nmm, found.reserve_h))
    return Range(thickness, length, turns, torque, reserve, away, (int(row), int(column)))


def ranked(barrel: Barrel, offered: Sequence[Strip]) -> list[Offer]:
    """Springs of a list by nearness in torque and turns to the strip in the barrel; last those that do not do, and why.

    A strip higher than the barrel's own is taken not to go under the lid. The barrel that a spring is sold for does not
    count: whether it fits is a matter of its sizes.

    Raises:
        Unfit: the barrel can't be reckoned with.
    """
    check(barrel)
    offers = [_offer(barrel, strip) for strip in offered]
    return sorted(offers, key=lambda each: (bool(each.why_not), np.inf if each.off is None else each.off))


def off(found: Sums, was: Sums) -> FloatArray:
    """How far from what was there: the root of the squared logarithms of both ratios, of turns and of torque.

    0 is the same; about 0.1 a tenth more or less of one of them. Infinite where there is no torque.
    """
    with np.errstate(all="ignore"):
        ratios = np.log(found.turns / was.turns), np.log(found.torque_full_nmm / was.torque_full_nmm)
        return np.nan_to_num(np.hypot(*ratios), nan=np.inf, posinf=np.inf)


def _thicknesses(arbor_mm: float) -> FloatArray:
    """Round thicknesses between both limits; steps are as wide as keeps them few."""
    low, high = arbor_mm / ROOM_LOST, arbor_mm / SETS
    step = STEP_MM * max(1.0, np.ceil((high - low) / STEP_MM / MOST_ROWS))
    round_ones = np.arange(np.ceil(low / step), np.floor(high / step) + 1.0) * step
    return round_ones if round_ones.size else np.array([(low + high) / 2.0])


def _offer(barrel: Barrel, strip: Strip) -> Offer:
    why_not = tuple(_why_not(barrel, strip))
    if DOES_NOT_GO_IN & set(why_not):
        return Offer(strip, None, None, None, None, why_not)
    found = reckoned(_made(barrel, strip))
    away = float(off(found, reckoned(barrel)))
    return Offer(strip, float(found.turns), float(found.torque_full_nmm), float(found.reserve_h), away, why_not)


def _made(barrel: Barrel, strip: Strip) -> Barrel:
    return with_strip(barrel, strip.thickness_mm, strip.length_mm, strip.height_mm)


def _why_not(barrel: Barrel, strip: Strip) -> list[WhyNot]:
    sizes = (strip.height_mm, strip.thickness_mm, strip.length_mm)
    if not all(np.isfinite(size) and size > 0.0 for size in sizes):
        return ["not a strip"]
    made, found = _made(barrel, strip), list[WhyNot]()
    if strip.height_mm > float(barrel.height_mm):
        found.append("too high")
    if 2.0 * strip.thickness_mm > float(barrel.drum_diameter_mm) - float(barrel.arbor_diameter_mm):
        found.append("too thick")
    elif not fits(made):
        found.append("no room")
    elif float(reckoned(made).usable_turns) <= 0.0:
        found.append("does not go")
    return found
