"""Units that were perhaps mistaken: a barrel of odd proportions that one other unit would make a usual one.

A slip is named and never corrected: an odd barrel may be right. What counts as usual is wide (common practice, no source).
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from tracker.core.barrel.coils import fill
from tracker.core.barrel.entered import Barrel

Unit = Literal[
    "inches", "centimetres", "metres", "hundredths of a millimetre", "micrometres", "MPa", "kgf/mm²", "million psi"
]

MM_PER: dict[Unit, float] = {
    "inches": 25.4,
    "centimetres": 10.0,
    "metres": 1000.0,
    "hundredths of a millimetre": 0.01,
    "micrometres": 0.001,
}
GPA_PER: dict[Unit, float] = {"MPa": 0.001, "kgf/mm²": 0.00980665, "million psi": 6.894757293168}
DRUM, ARBOR, THICKNESS = "drum_diameter_mm", "arbor_diameter_mm", "thickness_mm"
HEIGHT, LENGTH = "height_mm", "length_mm"
ALONE: tuple[tuple[tuple[str, ...], tuple[Unit, ...]], ...] = (
    ((DRUM,), ("inches", "centimetres")),
    ((ARBOR,), ("inches", "centimetres")),
    ((THICKNESS,), ("inches", "hundredths of a millimetre", "micrometres")),
    ((HEIGHT,), ("inches", "hundredths of a millimetre", "micrometres")),
    ((LENGTH,), ("inches", "centimetres", "metres")),
)
TOGETHER: tuple[tuple[tuple[str, ...], tuple[Unit, ...]], ...] = (
    ((DRUM, ARBOR), ("inches", "centimetres")),
    ((THICKNESS, HEIGHT), ("inches", "hundredths of a millimetre", "micrometres")),
    ((THICKNESS, HEIGHT, LENGTH), ("inches",)),
    ((DRUM, ARBOR, THICKNESS, HEIGHT, LENGTH), ("inches",)),
)
USUAL_DRUM_MM = (3.0, 400.0)
USUAL_ARBOR = (0.2, 0.5)
"""Of the drum's diameter."""
USUAL_ARBOR_STRIPS = (5.0, 25.0)
"""Arbor radius over thickness."""
USUAL_HEIGHT_STRIPS = (3.0, 60.0)
"""Height over thickness."""
USUAL_FILL = (0.25, 0.75)
USUAL_GPA = (80.0, 300.0)


@dataclass(frozen=True, slots=True)
class Slip:
    """These fields look as if their figures were in a unit other than that of the form; `would_be` is each in the form's."""

    fields: tuple[str, ...]
    unit: Unit
    would_be: tuple[float, ...]


def slips(barrel: Barrel) -> tuple[Slip, ...]:
    """The slips of unit that would explain an odd barrel: of one figure, or else of several at once.

    Where any barrel of an array is usual, no slip is thought of.
    """
    alone = tuple(_of(barrel, ALONE))
    return (*(alone or _of(barrel, TOGETHER)), *_of_modulus(barrel))


def _of(barrel: Barrel, guesses: tuple[tuple[tuple[str, ...], tuple[Unit, ...]], ...]) -> Iterator[Slip]:
    if usual(barrel).any():
        return
    for fields, units in guesses:
        for unit in units:
            meant = {field: getattr(barrel, field) * MM_PER[unit] for field in fields}
            if usual(replace(barrel, **meant)).all():
                yield Slip(fields, unit, tuple(_first(meant[field]) for field in fields))


def _of_modulus(barrel: Barrel) -> Iterator[Slip]:
    if _within(barrel.modulus_gpa, USUAL_GPA).any():
        return
    for unit, factor in GPA_PER.items():
        meant = barrel.modulus_gpa * factor
        if _within(meant, USUAL_GPA).all():
            yield Slip(("modulus_gpa",), unit, (_first(meant),))


def usual(barrel: Barrel) -> NDArray[np.bool_]:
    """Whether drum, arbor and strip are of usual proportions."""
    with np.errstate(all="ignore"):
        found: NDArray[np.bool_] = (
            _within(barrel.drum_diameter_mm, USUAL_DRUM_MM)
            & _within(barrel.arbor_diameter_mm / barrel.drum_diameter_mm, USUAL_ARBOR)
            & _within(barrel.arbor_diameter_mm / 2.0 / barrel.thickness_mm, USUAL_ARBOR_STRIPS)
            & _within(barrel.height_mm / barrel.thickness_mm, USUAL_HEIGHT_STRIPS)
            & _within(fill(barrel), USUAL_FILL)
        )
    return found


def _within(value: object, limits: tuple[float, float]) -> NDArray[np.bool_]:
    number = np.asarray(value, dtype=np.float64)
    return (number >= limits[0]) & (number <= limits[1])


def _first(value: object) -> float:
    return float(np.asarray(value, dtype=np.float64).flat[0])
