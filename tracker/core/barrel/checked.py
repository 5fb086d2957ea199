"""What can't be reckoned with, refused by its field."""

from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tracker.core.barrel.coils import fill, longest_mm
from tracker.core.barrel.entered import Arrangement, Barrel, Number
from tracker.core.barrel.slips import Slip, slips

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
    "torque does not fall",
    "more turns than there are",
]

LEAST, MOST = 1e-4, 1e6
MOST_TORQUE_NMM = 1e12
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
    "least_torque_nmm": (0.0, MOST_TORQUE_NMM),
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
    for field, (low, high) in RANGES.items():
        check_number(field, getattr(barrel, field), low, high)
    refuse_where(barrel.barrels != np.round(barrel.barrels), "not whole", "barrels", value=barrel.barrels)
    if barrel.arrangement not in get_args(Arrangement):
        raise Unfit("no arrangement", "arrangement", {})
    try:
        _check_room(barrel)
    except Unfit as unfit:
        raise Unfit(unfit.why, unfit.field, unfit.values, slips(barrel)) from None


def check_number(field: str, value: Number, low: float = LEAST, high: float = MOST) -> None:
    """Raise Unfit if a number lies outside what its field takes."""
    number = np.asarray(value, dtype=np.float64)
    if np.all((number >= low) & (number <= high)):
        return
    refuse_where(~np.isfinite(number), "not finite", field, value=number)
    if low > 0.0:
        refuse_where(number <= 0.0, "not above zero", field, value=number)
    if low == 0.0:
        refuse_where(number < 0.0, "below zero", field, value=number)
    if high == 1.0:
        refuse_where(number > high, "above one", field, value=number)
    refuse_where((number < low) | (number > high), "out of range", field, value=number, low=low, high=high)


def fits(barrel: Barrel) -> NDArray[np.bool_]:
    """Which of the strips go into their drums with room to turn; all else is taken to be in order."""
    drum, arbor = barrel.drum_diameter_mm, barrel.arbor_diameter_mm
    goes_in: NDArray[np.bool_] = np.logical_and(
        np.logical_and(arbor < drum, 2.0 * barrel.thickness_mm <= drum - arbor), _fill(barrel) < 1.0
    )
    return goes_in


def _check_room(barrel: Barrel) -> None:
    drum, arbor, thickness = barrel.drum_diameter_mm, barrel.arbor_diameter_mm, barrel.thickness_mm
    refuse_where(arbor >= drum, "arbor not inside", "arbor_diameter_mm", arbor=arbor, drum=drum)
    gap = (drum - arbor) / 2.0
    refuse_where(thickness > gap, "strip too thick", "thickness_mm", thickness=thickness, gap=gap)
    refuse_where(_fill(barrel) >= 1.0, "no room", "length_mm", length=barrel.length_mm, longest=longest_mm(barrel))


def _fill(barrel: Barrel) -> Number:
    with np.errstate(divide="ignore", invalid="ignore"):
        return fill(barrel)


def refuse_where(bad: ArrayLike, why: Why, field: str, **values: ArrayLike) -> None:
    """Raise Unfit with the figures of the first barrel that is bad, if one is."""
    if not np.any(bad):
        return
    concerned, *told = np.broadcast_arrays(bad, *values.values())
    first = int(np.flatnonzero(concerned)[0])
    raise Unfit(why, field, {name: float(each.flat[first]) for name, each in zip(values, told, strict=True)})
