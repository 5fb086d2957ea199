"""Torque, energy and stress of a strip that bends the same all along.

M(n) = η (E b t³/12 L) 2π (n − n_free): coils that stay concentric, beam theory. Tables for spiral springs print it as
M = π E b t³ n/6 L, n turns from free.
"""

import numpy as np

from tracker.core.barrel.coils import coils_unwound, coils_wound
from tracker.core.barrel.entered import Barrel, Number

TURN = 2.0 * np.pi
MPA_PER_GPA = 1000.0


def torque_nmm(barrel: Barrel, turns: Number) -> Number:
    """Torque (N mm) that the train gets with the strip at so many turns from arbor to wall.

    `turns` run from `coils_unwound` to `coils_wound`; a line through `free_turns`: η (E b t³/12 L) 2π (n − n_free), times
    the barrels side by side.
    """
    return per_turn_nmm(barrel) * side_by_side(barrel) * (turns - barrel.free_turns)


def per_turn_nmm(barrel: Barrel) -> Number:
    """How much the torque (N mm) of one barrel rises with each turn: η (E b t³/12 L) 2π."""
    section = barrel.height_mm * barrel.thickness_mm**3 / 12.0
    return barrel.efficiency * barrel.modulus_gpa * MPA_PER_GPA * section / barrel.length_mm * TURN


def stop_coils(barrel: Barrel) -> Number:
    """Turns from arbor to wall at which the train stops: unwound, or as soon as the torque is the least it wants.

    Never above full wind: a barrel too weak for its train gives no turn at all.
    """
    too_weak = barrel.free_turns + barrel.least_torque_nmm / (per_turn_nmm(barrel) * side_by_side(barrel))
    return np.minimum(np.maximum(coils_unwound(barrel), too_weak), coils_wound(barrel))


def energy_mj(barrel: Barrel, low: Number, high: Number) -> Number:
    """∫ M 2π dn between two turns from arbor to wall, of all barrels, in N mm = mJ: mean torque times the way."""
    mean = per_turn_nmm(barrel) * ((low + high) / 2.0 - barrel.free_turns)
    return mean * TURN * (high - low) * barrel.barrels + 0.0  # no way at all is 0, not -0


def stress_mpa(barrel: Barrel, turns: Number) -> Number:
    """Mean bending stress (MPa) of the strip's faces: 6 M/(η b t²) = π E t (n − n_free)/L."""
    change = np.pi * (turns - barrel.free_turns) / barrel.length_mm
    return barrel.modulus_gpa * MPA_PER_GPA * barrel.thickness_mm * change


def in_series(barrel: Barrel) -> Number:
    """Barrels one behind the other: their turns add."""
    return barrel.barrels if barrel.arrangement == "series" else 1.0


def side_by_side(barrel: Barrel) -> Number:
    """Barrels side by side: their torques add."""
    return barrel.barrels if barrel.arrangement == "parallel" else 1.0
