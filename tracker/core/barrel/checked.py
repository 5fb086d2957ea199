"""What can't be reckoned with, refused by its field."""

from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tracker.core.barrel.coils import fill, longest_mm
from tracker.core.barrel.entered import Arrangement, Barrel, Number
from tracker.core.barrel.slips import Slip, slips
from tracker.core.normal import FloatArray

Why = Literal[
    "not finite",
    "not above zero",
    "below zero",
    "above one",
    "out of range",
    "not whole",
    "no arrangement",
    "arbor not inside",
    "strip too thick",
    "no room",
]

LEAST, MOST = 1e-6, 1e6
RANGES: dict[str, tuple[float, float]] = {
    "drum_diameter_mm": (LEAST, MOST),
    "arbor_diameter_mm": (LEAST, MOST),
    "thickness_mm": (LEAST, MOST),
    "height_mm": (LEAST, MOST),
    "length_mm": (LEAST, MOST),
    "modulus_gpa": (LEAST, MOST),
    "free_turns": (-MOST, MOST),
    "efficiency": (LEAST, 1.0),
    "hours_per_turn": (LEAST, MOST),
    "least_torque_nmm": (0.0, MOST),
    "barrels": (1.0, 100.0),
}
"""Every number of a barrel, with the least and the most that is taken."""


class Unfit(ValueError):
    """A barrel that can't be reckoned with: why, the field to blame, the figures that show it, slips that would explain it."""

    def __init__(self, why: Why, field: str, values: dict[str, float], suspected: tuple[Slip, ...] = ()) -> None:
        super().__init__(f"{field}: {why}")
        self.why = why
        self.field = field
        self.values = values
        self.suspected = suspected


def check(barrel: Barrel) -> None:
    """Pass, if every barrel entered can be reckoned with.

    Raises:
        Unfit: one can't; by the first field to blame.
    """
    for field in RANGES:
        check_number(field, getattr(barrel, field))
    (barrels,) = _together(barrel.barrels)
    _refuse_where(barrels != np.round(barrels), "not whole", "barrels", value=barrels)
    if barrel.arrangement not in get_args(Arrangement):
        raise Unfit("no arrangement", "arrangement", {})
    try:
        _check_room(barrel)
    except Unfit as unfit:
        raise Unfit(unfit.why, unfit.field, unfit.values, slips(barrel)) from None


def check_number(field: str, value: Number) -> None:
    """Raise Unfit if a number lies outside what its field takes."""
    (number,), (low, high) = _together(value), RANGES[field]
    _refuse_where(~np.isfinite(number), "not finite", field, value=number)
    if low > 0.0:
        _refuse_where(number <= 0.0, "not above zero", field, value=number)
    if low == 0.0:
        _refuse_where(number < 0.0, "below zero", field, value=number)
    if high == 1.0:
        _refuse_where(number > high, "above one", field, value=number)
    limits = {"low": np.full(number.shape, low), "high": np.full(number.shape, high)}
    _refuse_where((number < low) | (number > high), "out of range", field, value=number, **limits)


def fits(barrel: Barrel) -> NDArray[np.bool_]:
    """Which of the strips go into their drums with room to turn; all else is taken to be in order."""
    drum, arbor, thickness, taken = _together(
        barrel.drum_diameter_mm, barrel.arbor_diameter_mm, barrel.thickness_mm, _fill(barrel)
    )
    inside: NDArray[np.bool_] = (arbor < drum) & (2.0 * thickness <= drum - arbor) & (taken < 1.0)
    return inside


def _check_room(barrel: Barrel) -> None:
    drum, arbor, thickness = _together(barrel.drum_diameter_mm, barrel.arbor_diameter_mm, barrel.thickness_mm)
    _refuse_where(arbor >= drum, "arbor not inside", "arbor_diameter_mm", arbor=arbor, drum=drum)
    gap = (drum - arbor) / 2.0
    _refuse_where(thickness > gap, "strip too thick", "thickness_mm", thickness=thickness, gap=gap)
    taken, length, longest = _together(_fill(barrel), barrel.length_mm, longest_mm(barrel))
    _refuse_where(taken >= 1.0, "no room", "length_mm", length=length, longest=longest)


def _fill(barrel: Barrel) -> Number:
    with np.errstate(divide="ignore", invalid="ignore"):
        return fill(barrel)


def _together(*numbers: ArrayLike) -> tuple[FloatArray, ...]:
    return tuple(np.broadcast_arrays(*(np.asarray(number, dtype=np.float64) for number in numbers)))


def _refuse_where(bad: NDArray[np.bool_], why: Why, field: str, **values: FloatArray) -> None:
    """Raise Unfit with the figures of the first barrel that is bad, if one is."""
    if bad.any():
        first = int(np.flatnonzero(bad)[0])
        raise Unfit(why, field, {name: float(each.flat[first]) for name, each in values.items()})
