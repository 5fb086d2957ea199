"""Barrels for tests."""

from dataclasses import replace
from typing import Any

from hypothesis import strategies as st

from tracker.core.barrel.checked import fits
from tracker.core.barrel.coils import coils_wound
from tracker.core.barrel.entered import Barrel

USUAL: dict[str, Any] = {
    "drum_diameter_mm": 11.0,
    "arbor_diameter_mm": 3.4,
    "thickness_mm": 0.115,
    "height_mm": 1.3,
    "length_mm": 350.0,
    "modulus_gpa": 205.0,
    "free_turns": 6.0,
    "efficiency": 0.9,
    "hours_per_turn": 6.5,
    "least_torque_nmm": 3.0,
}
LENGTHS = ("drum_diameter_mm", "arbor_diameter_mm", "thickness_mm", "height_mm", "length_mm")


def barrel(**other: Any) -> Barrel:
    """The barrel of the file form's example, or one that differs from it."""
    return Barrel(**(USUAL | other))


@st.composite
def barrels(draw: st.DrawFn) -> Barrel:
    """Any barrel whose strip fits and gives torque, of a lady's watch to a church clock."""
    drum = draw(st.floats(4.0, 300.0))
    arbor = drum * draw(st.floats(0.1, 0.7))
    thickness = (drum - arbor) / 2.0 * draw(st.floats(0.005, 0.2))
    room = (drum**2 - arbor**2) * 0.7853981633974483
    made = barrel(
        drum_diameter_mm=drum,
        arbor_diameter_mm=arbor,
        thickness_mm=thickness,
        height_mm=thickness * draw(st.floats(3.0, 40.0)),
        length_mm=room / thickness * draw(st.floats(0.05, 0.95)),
        modulus_gpa=draw(st.floats(90.0, 230.0)),
        free_turns=0.0,
        efficiency=draw(st.floats(0.3, 1.0)),
        hours_per_turn=draw(st.floats(0.5, 24.0)),
        least_torque_nmm=0.0,
        barrels=draw(st.integers(1, 4)),
        arrangement=draw(st.sampled_from(["series", "parallel"])),
    )
    assert fits(made)
    return replace(made, free_turns=float(coils_wound(made)) * draw(st.floats(-1.0, 0.9)))
