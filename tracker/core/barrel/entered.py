"""A barrel as it is entered."""

from dataclasses import dataclass
from typing import Literal

from tracker.core.normal import FloatArray

Number = float | FloatArray
"""One number, or an array of them: as many barrels as its shape says."""
Arrangement = Literal["series", "parallel"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Barrel:
    """Drum, arbor and strip (rectangular section), and the train they drive; the fields are those of the file form.

    Millimetres, GPa, N mm, hours; each number may be an array, and all are broadcast. `free_turns` is how often the
    strip turns from one end to the other out of the drum: 0 straight, positive a plain spiral, a reversed part counts
    negative. `efficiency` is what friction between the coils leaves of the torque, above 0 and up to 1. `hours_per_turn`
    is the train's time for one turn that it is given, `least_torque_nmm` what it wants to go at all. `barrels` such
    barrels act one behind the other (`series`) or side by side (`parallel`).
    """

    drum_diameter_mm: Number
    arbor_diameter_mm: Number
    thickness_mm: Number
    height_mm: Number
    length_mm: Number
    modulus_gpa: Number
    free_turns: Number = 0.0
    efficiency: Number = 1.0
    hours_per_turn: Number
    least_torque_nmm: Number = 0.0
    barrels: Number = 1
    arrangement: Arrangement = "series"
