"""What is to be warned of in a barrel that can be reckoned with. The limits are common practice, no source, but where told."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tracker.core.barrel.coils import coils_wound, fill
from tracker.core.barrel.entered import Barrel, Number
from tracker.core.barrel.torque import torque_nmm

Kind = Literal[
    "breaks",
    "sets",
    "room lost",
    "fill low",
    "fill high",
    "strip long",
    "strip narrow",
    "modulus high",
    "no torque",
    "too weak",
]

BREAKS, SETS, ROOM_LOST = 7.5, 10.0, 16.0
"""Arbor radius over thickness."""
FILL_LOW, FILL_HIGH = 0.40, 0.60
"""N(fill) = N(1 − fill): at either end 97 % of the most turns are left."""
STRIP_LONG = 15_000.0
"""Length over thickness (John Evans' Sons, page "Power springs")."""
STRIP_NARROW = 3.0
"""Height over thickness."""
MODULUS_HIGH = 1_000.0
"""GPa: no metal has as much."""
ROUNDING = 1e-9
"""What lies on a limit but for the last digits passes it."""


@dataclass(frozen=True, slots=True)
class Caution:
    """One thing to be warned of: the field to look at, the figure, and the limit that it passes."""

    kind: Kind
    field: str
    value: float
    limit: float


def cautions(barrel: Barrel) -> tuple[Caution, ...]:
    """What is to be warned of; of an array of barrels what any gives cause for, with the first such figure."""
    arbor, taken = barrel.arbor_diameter_mm / 2.0 / barrel.thickness_mm, fill(barrel)
    long, broad = barrel.length_mm / barrel.thickness_mm, barrel.height_mm / barrel.thickness_mm
    wound = coils_wound(barrel)
    full, limp = torque_nmm(barrel, wound), np.asarray(barrel.free_turns >= wound)
    breaks = _under(arbor, BREAKS)
    found = (
        _where(breaks, "breaks", "thickness_mm", arbor, BREAKS),
        _where(np.logical_and(~breaks, _under(arbor, SETS)), "sets", "thickness_mm", arbor, SETS),
        _where(_over(arbor, ROOM_LOST), "room lost", "arbor_diameter_mm", arbor, ROOM_LOST),
        _where(_under(taken, FILL_LOW), "fill low", "length_mm", taken, FILL_LOW),
        _where(_over(taken, FILL_HIGH), "fill high", "length_mm", taken, FILL_HIGH),
        _where(_over(long, STRIP_LONG), "strip long", "length_mm", long, STRIP_LONG),
        _where(_under(broad, STRIP_NARROW), "strip narrow", "height_mm", broad, STRIP_NARROW),
        _where(
            _over(barrel.modulus_gpa, MODULUS_HIGH), "modulus high", "modulus_gpa", barrel.modulus_gpa, MODULUS_HIGH
        ),
        _where(limp, "no torque", "free_turns", barrel.free_turns, wound),
        _where(
            np.logical_and(~limp, full <= barrel.least_torque_nmm),
            "too weak",
            "least_torque_nmm",
            full,
            barrel.least_torque_nmm,
        ),
    )
    return tuple(each for each in found if each is not None)


def _under(value: Number, limit: float) -> NDArray[np.bool_]:
    return np.asarray(value, dtype=np.float64) < limit * (1.0 - ROUNDING)


def _over(value: Number, limit: float) -> NDArray[np.bool_]:
    return np.asarray(value, dtype=np.float64) > limit * (1.0 + ROUNDING)


def _where(bad: ArrayLike, kind: Kind, field: str, value: Number, limit: Number) -> Caution | None:
    """A caution with the first figures that are bad, if any are."""
    concerned, values, limits = np.broadcast_arrays(bad, value, limit)
    places = np.flatnonzero(concerned)
    if not places.size:
        return None
    first = int(places[0])
    return Caution(kind, field, float(values.flat[first]), float(limits.flat[first]))
