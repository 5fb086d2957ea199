"""A curve fitted to a torque gauge: two readings of one barrel fix η E and the turns of the free strip."""

from dataclasses import dataclass, replace

import numpy as np

from tracker.core.barrel.checked import MOST_TORQUE_NMM, check, check_number, refuse_where
from tracker.core.barrel.coils import coils_unwound, coils_wound
from tracker.core.barrel.entered import Barrel, Number
from tracker.core.barrel.torque import per_turn_nmm


@dataclass(frozen=True, slots=True)
class Fitted:
    """A barrel whose torque goes through both readings; its curve is called *fitted*.

    `of_reckoned` is how steep the curve is beside the one reckoned without friction, so 0.9 means that a tenth is lost.
    Above 1 no friction explains it (a strip thicker or higher than entered does): then the barrel's modulus is raised.
    """

    barrel: Barrel
    of_reckoned: Number


def fitted(barrel: Barrel, full_nmm: Number, later_nmm: Number, turns: Number) -> Fitted:
    """The barrel with η, or the modulus, and `free_turns` such that the line passes through both readings.

    `full_nmm` was read at full wind and `later_nmm` after so many `turns` of the barrel, both (N mm) on one barrel.
    M(n) = η (E b t³/12 L) 2π (n − n_free): the slope gives η E, the level n_free.

    Raises:
        Unfit: the torque does not fall, or there are not so many turns, or the barrel can't be reckoned with.
    """
    check(barrel)
    check_number("full_nmm", full_nmm, high=MOST_TORQUE_NMM)
    check_number("later_nmm", later_nmm, low=0.0, high=MOST_TORQUE_NMM)
    check_number("turns_between", turns)
    refuse_where(later_nmm >= full_nmm, "torque does not fall", "later_nmm", later=later_nmm, full=full_nmm)
    there = coils_wound(barrel) - coils_unwound(barrel)
    refuse_where(turns > there, "more turns than there are", "turns_between", value=turns, there=there)
    slope = (full_nmm - later_nmm) / turns
    share = slope / per_turn_nmm(replace(barrel, efficiency=1.0))
    made = replace(
        barrel,
        efficiency=np.minimum(share, 1.0),
        modulus_gpa=barrel.modulus_gpa * np.maximum(share, 1.0),
        free_turns=coils_wound(barrel) - full_nmm / slope,
    )
    return Fitted(made, share)
