"""How far a mainspring is wound, and how long that lasts.

Wound by a share of the turns between stop and full, a watch goes that share of a full run: T_part = T_full × share. What is
not known exactly is a pair, lowest and highest. Barrel turns: full W_f, stop W_s; going takes 1/h_t of a turn an hour.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import median

import numpy as np

from tracker.core.curve import Curve, curve_from
from tracker.core.timeline import Wind
from tracker.core.windby import still_going

Between = tuple[float, float]
"""Lowest and highest."""

LEAST_COUNTED = 3
"""So many counts of turns from stopped to full tell how many a full winding takes."""
COUNT_OFF = 0.1
"""A figure from the register, or a count of turns, is taken to be this much off either way (common practice, no source)."""
LEAST_SHARE = 0.02
"""A spring wound by less than this is as good as unwound."""
MIXED = 9
"""Shares between lowest and highest that a curve is mixed of."""
FINE = 800


@dataclass(frozen=True, slots=True)
class Turns:
    """Crown turns from stopped to full: lowest, middle, highest, and how many windings tell it (0: the register)."""

    low: float
    mid: float
    high: float
    counted: int


def turns_to_full(winds: Iterable[Wind], registered: float | None) -> Turns | None:
    """What windings from stopped to full took, else what the register says; None where neither is known."""
    counts = sorted(
        wind.crown_turns for wind in winds if wind.amount == "full" and wind.found == "stopped" and wind.crown_turns
    )
    if len(counts) >= LEAST_COUNTED:
        return Turns(counts[0], median(counts), counts[-1], len(counts))
    if registered is None:
        return None
    return Turns(registered * (1.0 - COUNT_OFF), registered, registered * (1.0 + COUNT_OFF), 0)


def wound(before: Between, turns: float, full: Turns) -> Between:
    """The share after so many crown turns: they add, and what is over slips or meets resistance."""
    low = min(1.0, before[0] + turns * (1.0 - COUNT_OFF) / full.high)
    high = min(1.0, before[1] + turns * (1.0 + COUNT_OFF) / full.low)
    return low, max(low, high)


def gone(share: Between, hours: float, full_h: Between) -> Between:
    """The share after so many hours of going; `full_h` is how long a full run lasts."""
    return max(0.0, share[0] - hours / full_h[0]), max(0.0, share[1] - hours / full_h[1])


@dataclass(frozen=True, slots=True, kw_only=True)
class Automatic:
    """An automatic's barrel and winding: turns at full and at the stop, hours of going a turn, rotor turns a barrel turn.

    `efficiency` is the share of rotor turns that wind (0 to 1), `lost_deg` what each reversal loses.
    """

    full_turns: float
    stop_turns: float
    hours_per_turn: float
    rotor_turns_per_turn: float
    efficiency: float = 1.0
    lost_deg: float = 0.0

    def gain_per_day(self, turns_a_day: float, useful: float, reversals_a_day: float = 0.0) -> float:
        """Barrel turns a day from a programme; `useful` is the share of its directions that wind: 1, ½ or 0."""
        rotor = turns_a_day * useful - reversals_a_day * self.lost_deg / 360.0
        return max(0.0, rotor) * self.efficiency / self.rotor_turns_per_turn

    def after(self, turns: float, gain_per_day: float, hours: float) -> float:
        """Barrel turns after so many hours of going with this gain: the bridle slips at full, the train stops at the stop."""
        there = turns + (gain_per_day / 24.0 - 1.0 / self.hours_per_turn) * hours
        return min(max(there, self.stop_turns), self.full_turns)

    def least_programme(self, useful: float, reversals_a_day: float = 0.0) -> float:
        """Turns a day that hold a level; they never fill. Infinite where none of them winds."""
        needed = 24.0 * self.rotor_turns_per_turn / (self.hours_per_turn * self.efficiency)
        return (needed + reversals_a_day * self.lost_deg / 360.0) / useful if useful > 0.0 else math.inf

    def hours_left(self, turns: float, gain_per_day: float = 0.0) -> float:
        """Hours until it stops; infinite where the gain holds it."""
        loss = 1.0 / self.hours_per_turn - gain_per_day / 24.0
        return (turns - self.stop_turns) / loss if loss > 0.0 else math.inf


def worn(share: Between, hours: float, gain_per_h: Between) -> Between:
    """The share after so many hours on the wrist, gaining between the two shares an hour net of going; full is full."""
    low, high = share[0] + hours * gain_per_h[0], share[1] + hours * gain_per_h[1]
    return min(max(low, 0.0), 1.0), min(max(high, 0.0), 1.0)


def turned(share: Between, hours: Sequence[float | None], per_full: Between, full_h: Between) -> Between:
    """The share after hours on a winder whose useful turns in each are known (None: not), while it goes.

    `per_full` is how many useful turns wind it from stopped to full. An hour of which nothing is known may have brought
    nothing, or have filled it.
    """
    low, high = share
    for turns in hours:
        low = min(1.0, max(0.0, low + (turns or 0.0) / per_full[1] - 1.0 / full_h[0]))
        high = 1.0 if turns is None else min(1.0, max(0.0, high + turns / per_full[0] - 1.0 / full_h[1]))
    return low, max(low, high)


def indicated(reading: float, scale: Between) -> Between:
    """The share an indicator shows; `scale` is its reading at full, as known: one figure once two true ends have fixed it."""
    shares = sorted((min(1.0, reading / scale[0]), min(1.0, reading / scale[1])))
    return shares[0], shares[1]


def part_curve(full: Curve, share: Between) -> Curve:
    """How long a run lasts that begins with a share between these, each as likely; `full` is that of a full run."""
    low, high = (min(1.0, max(LEAST_SHARE, each)) for each in share)
    shares = np.linspace(low, high, MIXED) if high > low else np.array([low])
    logs = np.linspace(math.log(full.from_h * low * 0.98), math.log(full.to_h * high * 1.02), FINE)
    going = [[still_going(full, math.exp(at) / each) for at in logs] for each in shares]
    return curve_from(logs, np.asarray(going).mean(axis=0))
