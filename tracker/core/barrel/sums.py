"""All the sums of a barrel: turns, torque, energy, stress, reserve, and what is to be warned of."""

from dataclasses import dataclass, replace

import numpy as np

from tracker.core.barrel import coils, torque
from tracker.core.barrel.cautions import Caution, cautions
from tracker.core.barrel.checked import check
from tracker.core.barrel.entered import Barrel, Number
from tracker.core.barrel.slips import Slip, slips


@dataclass(frozen=True, slots=True)
class Sums:
    """What a barrel gives; numbers, or arrays of the shape to which those of the barrel broadcast.

    `coils_unwound`, `coils_wound`, `turns`, `fill`, `best_length_mm`, `best_turns` and `stress_full_mpa` are those of one
    barrel. The torques are what the train gets at full wind and at the stop (side by side they add), `usable_turns` from
    one to the other as the train sees them (one behind the other they add), `energy_mj` that of all barrels between the
    two. `reserve_h` is the usable turns times the hours of one. `warnings` are told in words by `tracker.barrelwords`.
    """

    coils_unwound: Number
    coils_wound: Number
    turns: Number
    fill: Number
    best_length_mm: Number
    best_turns: Number
    torque_full_nmm: Number
    torque_end_nmm: Number
    usable_turns: Number
    energy_mj: Number
    stress_full_mpa: Number
    reserve_h: Number
    warnings: tuple[Caution | Slip, ...] = ()


FIGURES = tuple(name for name in Sums.__slots__ if name != "warnings")
"""The names of the figures, in the order of the file form."""


def sums(barrel: Barrel) -> Sums:
    """All the sums of one barrel, or of as many as its arrays hold, with what is to be warned of.

    Raises:
        Unfit: one of them can't be reckoned with.
    """
    check(barrel)
    return replace(reckoned(barrel), warnings=(*cautions(barrel), *slips(barrel)))


def reckoned(barrel: Barrel) -> Sums:
    """The sums without checks and warnings; where a strip does not fit (`checked.fits`) they mean nothing."""
    with np.errstate(all="ignore"):
        unwound, wound, stop = coils.coils_unwound(barrel), coils.coils_wound(barrel), torque.stop_coils(barrel)
        usable = (wound - stop) * torque.in_series(barrel)
        return Sums(
            coils_unwound=unwound,
            coils_wound=wound,
            turns=wound - unwound,
            fill=coils.fill(barrel),
            best_length_mm=coils.best_length_mm(barrel),
            best_turns=coils.best_turns(barrel),
            torque_full_nmm=torque.torque_nmm(barrel, wound),
            torque_end_nmm=torque.torque_nmm(barrel, stop),
            usable_turns=usable,
            energy_mj=torque.energy_mj(barrel, stop, wound),
            stress_full_mpa=torque.stress_mpa(barrel, wound),
            reserve_h=usable * barrel.hours_per_turn,
        )
