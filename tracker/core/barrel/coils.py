"""Room and coils: how the strip lies in its drum, unwound against the wall and wound on the arbor.

The coils lie close and take the area L t of the room π(R² − r²), so that the strip reaches from the wall in to
r_u = √(R² − L t/π) when unwound, and from the arbor out to r_w = √(r² + L t/π) when wound. All is derived from area alone;
the half-area rule that follows is that of the handbooks, which write it L ≈ (D² − d²)/2.55 t (8/π = 2.546).
"""

import numpy as np

from tracker.core.barrel.entered import Barrel, Number

CAUTIOUS = 2.0 / 2.55
"""Some texts print 2.55 where the turns want 2 (from memory, no page seen)."""
TRUE_SPIRAL_TURNS = 0.45
"""So much less turns a spiral whose first coil is not closed, as those of real barrels are."""


def room_mm2(barrel: Barrel) -> Number:
    """Area between arbor and drum wall: π(R² − r²)."""
    drum, arbor = barrel.drum_diameter_mm, barrel.arbor_diameter_mm
    return np.pi / 4.0 * (drum - arbor) * (drum + arbor)


def fill(barrel: Barrel) -> Number:
    """What part of the room the strip takes: L t / π(R² − r²); infinite where there is no room."""
    return np.divide(barrel.length_mm * barrel.thickness_mm, room_mm2(barrel))


def longest_mm(barrel: Barrel) -> Number:
    """The length that would take all the room: π(R² − r²)/t."""
    return room_mm2(barrel) / barrel.thickness_mm


def coils_unwound(barrel: Barrel) -> Number:
    """Coils against the wall: (R − r_u)/t, written without a difference of near equals."""
    drum = barrel.drum_diameter_mm / 2.0
    return barrel.length_mm / np.pi / (drum + np.sqrt(drum**2 - _area_over_pi(barrel)))


def coils_wound(barrel: Barrel) -> Number:
    """Coils on the arbor: (r_w − r)/t, written likewise."""
    arbor = barrel.arbor_diameter_mm / 2.0
    return barrel.length_mm / np.pi / (np.sqrt(arbor**2 + _area_over_pi(barrel)) + arbor)


def best_length_mm(barrel: Barrel) -> Number:
    """The length with most turns at this thickness: half the room, π(R² − r²)/2t (dN/dA = 0 where r_u = r_w)."""
    return longest_mm(barrel) / 2.0


def best_turns(barrel: Barrel) -> Number:
    """The most turns at this thickness: (√(2(R² + r²)) − R − r)/t."""
    drum, arbor = barrel.drum_diameter_mm / 2.0, barrel.arbor_diameter_mm / 2.0
    return (drum - arbor) ** 2 / (np.sqrt(2.0 * (drum**2 + arbor**2)) + drum + arbor) / barrel.thickness_mm


def cautious_turns(barrel: Barrel) -> Number:
    """A cautious figure for the most turns, 2/2.55 of the sum: it is no closer to it, but seldom disappoints."""
    return best_turns(barrel) * CAUTIOUS


def _area_over_pi(barrel: Barrel) -> Number:
    return barrel.length_mm * barrel.thickness_mm / np.pi
