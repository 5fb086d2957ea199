"""A spring after it has set: bent beyond its alloy's limit, it keeps part of the bend."""

from dataclasses import replace

import numpy as np

from tracker.core.barrel.checked import check, check_number
from tracker.core.barrel.coils import coils_wound
from tracker.core.barrel.entered import Barrel, Number
from tracker.core.barrel.torque import MPA_PER_GPA, TURN, stress_mpa

EYELET = 2.0
"""With its outer end pinned instead of clamped a strip's greatest stress is twice 6 M/(b t²)."""


def after_set(barrel: Barrel, limit_mpa: Number) -> Barrel:
    """The barrel once its spring has set: n_free = max(n_free, n_w − σ_lim L/(π E t)).

    `limit_mpa` is the stress (MPa) above which the alloy keeps a bend. A spring that stays below is left as it is; the
    mean stress at full wind is no more than the limit afterwards.

    Raises:
        Unfit: barrel or limit can't be reckoned with.
    """
    check(barrel)
    check_number("limit_mpa", limit_mpa)
    held = limit_mpa * barrel.length_mm / (np.pi * barrel.modulus_gpa * MPA_PER_GPA * barrel.thickness_mm)
    return replace(barrel, free_turns=np.maximum(barrel.free_turns, coils_wound(barrel) - held))


def eyelet_stress_mpa(barrel: Barrel) -> Number:
    """Greatest stress (MPa) at full wind, where the outer end hangs on an eyelet: twice the mean one."""
    return EYELET * stress_mpa(barrel, coils_wound(barrel))


def arbor_stress_mpa(barrel: Barrel) -> Number:
    """Bending stress (MPa) of the first coil on the arbor: E t/2 × (1/r − free curvature).

    The free curvature there is taken to be that of the whole strip, 2π n_free/L; an inner coil formed to its arbor has less.
    """
    change = 2.0 / barrel.arbor_diameter_mm - TURN * barrel.free_turns / barrel.length_mm
    return barrel.modulus_gpa * MPA_PER_GPA * barrel.thickness_mm / 2.0 * change
