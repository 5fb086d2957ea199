"""Barrel sums beside a strip laid and bent point by point: spirals by SciPy's roots and integrals, torque by virtual work."""

import math

import numpy as np
import pytest
from hypothesis import given
from scipy.integrate import quad
from scipy.optimize import brentq

from tests.core.barrel.drums import barrel, barrels
from tracker.core.barrel.coils import TRUE_SPIRAL_TURNS, best_length_mm, coils_unwound, coils_wound
from tracker.core.barrel.entered import Barrel
from tracker.core.barrel.sums import sums
from tracker.core.barrel.torque import MPA_PER_GPA, side_by_side, stop_coils, torque_nmm


def spiral_turns(start_mm: float, pitch_mm: float, length_mm: float) -> float:
    """Turns that a line of this length makes on an Archimedean spiral from this radius, outwards or (pitch below 0) inwards."""
    growth = pitch_mm / (2 * math.pi)

    def left(turns: float) -> float:
        laid, _ = quad(lambda angle: math.hypot(start_mm + growth * angle, growth), 0.0, 2 * math.pi * turns, limit=200)
        return float(laid) - length_mm

    most = (start_mm / -pitch_mm) * 0.999 if pitch_mm < 0 else length_mm / (2 * math.pi * start_mm) * 1.5
    return float(brentq(left, 0.0, most, xtol=1e-9))


@pytest.mark.parametrize("share", [0.28, 0.31, 1 / 3, 0.36])
def test_a_true_spiral_gives_about_045_turn_less(share: float) -> None:
    made = barrel(arbor_diameter_mm=11.0 * share)
    length, thickness = float(best_length_mm(made)), 0.115
    made = barrel(arbor_diameter_mm=11.0 * share, length_mm=length)
    wound = spiral_turns(5.5 * share + thickness / 2, thickness, length)
    unwound = spiral_turns(5.5 - thickness / 2, -thickness, length)
    assert float(sums(made).turns) - (wound - unwound) == pytest.approx(TRUE_SPIRAL_TURNS, abs=0.05)


def test_closed_rings_take_as_much_strip_as_the_area_says() -> None:
    # Ring upon ring from the arbor, each of the length of its middle: n rings of a strip of n_w whole coils.
    rings = 2 * math.pi * (1.7 + 0.115 * (np.arange(12) + 0.5))
    assert coils_wound(barrel(length_mm=float(rings.sum()))) == pytest.approx(12.0, rel=1e-9)
    rings = 2 * math.pi * (5.5 - 0.115 * (np.arange(9) + 0.5))
    assert coils_unwound(barrel(length_mm=float(rings.sum()))) == pytest.approx(9.0, rel=1e-9)


def bent_energy_mj(made: Barrel, turns: float) -> float:
    """Strain energy of the strip, fibre by fibre over its section: ½ E (κ − κ₀)² y² b dy ds."""
    bend = 2 * math.pi * (turns - float(made.free_turns)) / float(made.length_mm)
    thickness = float(made.thickness_mm)
    fibres, _ = quad(lambda y: 0.5 * (bend * y) ** 2 * float(made.height_mm), -thickness / 2, thickness / 2)
    return float(fibres) * float(made.modulus_gpa) * MPA_PER_GPA * float(made.length_mm)


@given(barrels())
def test_torque_is_what_one_more_turn_costs(made: Barrel) -> None:
    turns = float(coils_wound(made))
    step = 1e-4 * turns
    cost = (bent_energy_mj(made, turns + step) - bent_energy_mj(made, turns - step)) / (4 * math.pi * step)
    assert torque_nmm(made, turns) == pytest.approx(cost * float(made.efficiency) * float(side_by_side(made)), rel=1e-6)


@given(barrels())
def test_energy_is_the_integral_of_torque_over_the_angle(made: Barrel) -> None:
    # SciPy's adaptive quadrature from the stop to full wind; in parallel the torque is that of all, in series the angle.
    low, high = float(stop_coils(made)), float(coils_wound(made))
    area, _ = quad(lambda angle: float(torque_nmm(made, angle / (2 * math.pi))), 2 * math.pi * low, 2 * math.pi * high)
    in_series = float(made.barrels) if made.arrangement == "series" else 1.0
    assert sums(made).energy_mj == pytest.approx(area * in_series, rel=1e-9, abs=1e-12)


@given(barrels())
def test_stress_is_that_of_the_outermost_fibre(made: Barrel) -> None:
    bend = 2 * math.pi * (float(coils_wound(made)) - float(made.free_turns)) / float(made.length_mm)
    fibre = float(made.modulus_gpa) * MPA_PER_GPA * bend * float(made.thickness_mm) / 2
    assert sums(made).stress_full_mpa == pytest.approx(fibre, rel=1e-9)
