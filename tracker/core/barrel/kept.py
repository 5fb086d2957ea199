"""What the bench knows of a watch's barrel: some of it measured, some not known."""

from dataclasses import dataclass
from typing import Literal

from tracker.core.barrel.entered import Arrangement, Barrel
from tracker.core.barrel.gauge import Fitted, fitted
from tracker.core.barrel.train import hours_from_teeth

Works = Literal["going barrel", "fusee", "stop-work"]
OuterEnd = Literal["clamped", "eyelet"]
Source = Literal["measured", "from the supplier"]

SIZES = ("drum_diameter_mm", "arbor_diameter_mm", "thickness_mm", "height_mm", "length_mm", "modulus_gpa")
"""Without each of these there is no sum."""
READINGS = ("gauge_full_nmm", "gauge_later_nmm", "gauge_turns")


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """A barrel as the bench knows it; None: not known. Lengths in mm, torques in N mm.

    Where `free_turns`, `efficiency`, `least_torque_nmm` or `barrels` is not known, the sums take what `Barrel` takes. The
    hours of one turn are given or follow from the train: teeth of the barrel, leaves it drives, hours of that wheel.
    """

    works: Works = "going barrel"
    drum_diameter_mm: float | None = None
    arbor_diameter_mm: float | None = None
    thickness_mm: float | None = None
    height_mm: float | None = None
    length_mm: float | None = None
    modulus_gpa: float | None = None
    alloy: str = ""
    free_turns: float | None = None
    efficiency: float | None = None
    outer_end: OuterEnd | None = None
    hours_per_turn: float | None = None
    barrel_teeth: int | None = None
    pinion_leaves: int | None = None
    wheel_hours: float | None = None
    least_torque_nmm: float | None = None
    barrels: int | None = None
    arrangement: Arrangement = "series"
    gauge_full_nmm: float | None = None
    gauge_later_nmm: float | None = None
    gauge_turns: float | None = None
    limit_mpa: float | None = None
    source: Source | None = None
    note: str = ""


def missing(kept: Kept) -> tuple[str, ...]:
    """The sizes without which there is no sum."""
    return tuple(name for name in SIZES if getattr(kept, name) is None)


def hours_of(kept: Kept) -> float | None:
    """Hours of one turn as given, or by the train; None where neither is known."""
    if kept.hours_per_turn is not None:
        return kept.hours_per_turn
    if kept.barrel_teeth is None or kept.pinion_leaves is None:
        return None
    return float(hours_from_teeth(kept.barrel_teeth, kept.pinion_leaves, kept.wheel_hours or 1.0))


def barrel_of(kept: Kept) -> Barrel:
    """The barrel to reckon with, of one hour a turn where its hours are not known (see `hours_of`).

    Raises:
        ValueError: a size is missing.
    """
    if missing(kept):
        raise ValueError(", ".join(missing(kept)))
    known = {name: getattr(kept, name) for name in (*SIZES, "free_turns", "efficiency", "least_torque_nmm", "barrels")}
    told = {name: float(value) for name, value in known.items() if value is not None}
    return Barrel(**told, hours_per_turn=hours_of(kept) or 1.0, arrangement=kept.arrangement)


def fitted_of(kept: Kept) -> Fitted | None:
    """The barrel whose torque goes through the readings of the gauge; None where there are none.

    Raises:
        Unfit: the readings can't be those of such a barrel.
        ValueError: a size is missing.
    """
    full, later, turns = kept.gauge_full_nmm, kept.gauge_later_nmm, kept.gauge_turns
    if full is None or later is None or turns is None:
        return None
    return fitted(barrel_of(kept), full, later, turns)
