"""What if: another beat, strip, drum, train, or more barrels. Each answer names what it assumes."""

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from tracker.core.barrel.checked import check, check_number
from tracker.core.barrel.coils import coils_unwound, coils_wound, room_mm2
from tracker.core.barrel.entered import Arrangement, Barrel, Number
from tracker.core.barrel.torque import torque_nmm

Assumed = Literal[
    "geared anew, as much a beat", "geared anew, as wide a swing", "old train", "same share of the room", "same arbor",
    "barrels alike", "train wants less", "longest",
]  # fmt: skip
FULL_OVER_LEAST = 4.0
"""Torque at full wind of the strip that runs longest, over the least that the train goes on."""


@dataclass(frozen=True, slots=True)
class WhatIf:
    """A barrel other than the one there is, and what is assumed of it; its figures are those of `sums.sums`."""

    barrel: Barrel
    assumed: Assumed


def at_beat(barrel: Barrel, from_vph: Number, to_vph: Number) -> tuple[WhatIf, WhatIf, WhatIf]:
    """Another beat (vibrations an hour), by three ways of thinking.

    *Geared anew, as much a beat*: the escape wheel turns by as much a beat and each beat gets as much energy
    (2π M/(h_t vph) stays), so h_t × f/f′; a balance of the same inertia and quality then swings f/f′ as wide.
    *Geared anew, as wide a swing*: the power of a balance of the same inertia, amplitude and quality factor grows as f³, so
    h_t × (f/f′)³ at the same torque. *Old train*: h_t stays; nothing is gained or lost.

    Raises:
        Unfit: a beat is not above 0.
    """
    check_number("from_vph", from_vph)
    check_number("to_vph", to_vph)
    slower = from_vph / to_vph
    return (
        WhatIf(replace(barrel, hours_per_turn=barrel.hours_per_turn * slower), "geared anew, as much a beat"),
        WhatIf(replace(barrel, hours_per_turn=barrel.hours_per_turn * slower**3), "geared anew, as wide a swing"),
        WhatIf(barrel, "old train"),
    )


def with_thickness(barrel: Barrel, thickness_mm: Number) -> WhatIf:
    """A strip of another thickness (mm), and so long that it takes as much of the same drum.

    The free strip is as curved as before, so its turns go with the length. Turns then go as 1/t and torque as t³.
    """
    return WhatIf(
        with_strip(barrel, thickness_mm, barrel.length_mm * barrel.thickness_mm / thickness_mm),
        "same share of the room",
    )


def with_strip(barrel: Barrel, thickness_mm: Number, length_mm: Number, height_mm: Number | None = None) -> Barrel:
    """The barrel with another strip (mm) whose free curvature is that of its own."""
    return replace(
        barrel,
        thickness_mm=thickness_mm,
        length_mm=length_mm,
        height_mm=barrel.height_mm if height_mm is None else height_mm,
        free_turns=barrel.free_turns * length_mm / barrel.length_mm,
    )


def with_drum(barrel: Barrel, drum_diameter_mm: Number) -> WhatIf:
    """A drum of another diameter (mm) on the same arbor, with a strip so long that it takes as much of it."""
    other = replace(barrel, drum_diameter_mm=drum_diameter_mm)
    longer = barrel.length_mm * room_mm2(other) / room_mm2(barrel)
    return WhatIf(with_strip(other, barrel.thickness_mm, longer), "same arbor")


def with_barrels(barrel: Barrel, barrels: Number, arrangement: Arrangement) -> WhatIf:
    """So many barrels like this one: in series turns add, in parallel torques, so that each need give the less."""
    return WhatIf(replace(barrel, barrels=barrels, arrangement=arrangement), "barrels alike")


def with_train(barrel: Barrel, factor: Number) -> WhatIf:
    """A train better by a factor: it goes on the least torque divided by that.

    Raises:
        Unfit: the factor is not above 0.
    """
    check_number("factor", factor)
    return WhatIf(replace(barrel, least_torque_nmm=barrel.least_torque_nmm / factor), "train wants less")


def best_thickness(barrel: Barrel) -> WhatIf | None:
    """The thickness that runs longest at the same share of the room.

    None where the train wants no least torque, so that thinner is always longer, or where the strip gives none.
    At one share of the room coils go as 1/t and torque as t³. While the train stops before the wall, the turns it gets are
    a/t − b/t⁴, most where the torque at full wind is four times the least; a strip that gives the least still at the wall
    gets 1/t, the thinnest of those the most (derived). A strip thinner than the best runs shorter.

    Raises:
        Unfit: the barrel can't be reckoned with.
    """
    check(barrel)
    if not np.all(np.asarray(barrel.least_torque_nmm) > 0.0):
        return None
    full, wall = (np.asarray(torque_nmm(barrel, coils(barrel))) for coils in (coils_wound, coils_unwound))
    if not np.all(full > 0.0):
        return None
    thinner = np.cbrt(barrel.least_torque_nmm / np.maximum(full / FULL_OVER_LEAST, wall))
    return WhatIf(with_thickness(barrel, barrel.thickness_mm * thinner).barrel, "longest")
