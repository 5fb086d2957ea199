"""Against the plain formulas, which lose digits where a strip is thin."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given

from tests.core.barrel.drums import barrel, barrels
from tracker.core.barrel import coils
from tracker.core.barrel.entered import Barrel


@given(barrels())
def test_coils_take_the_area_of_the_strip(made: Barrel) -> None:
    drum, arbor, thickness = made.drum_diameter_mm / 2, made.arbor_diameter_mm / 2, made.thickness_mm
    inner = drum - coils.coils_unwound(made) * thickness
    outer = arbor + coils.coils_wound(made) * thickness
    area = made.length_mm * thickness
    assert math.pi * (drum**2 - inner**2) == pytest.approx(area)
    assert math.pi * (outer**2 - arbor**2) == pytest.approx(area)


@given(barrels())
def test_half_the_room_gives_the_most_turns(made: Barrel) -> None:
    best = replace(made, length_mm=coils.best_length_mm(made))
    assert coils.fill(best) == pytest.approx(0.5)
    assert coils.coils_wound(best) - coils.coils_unwound(best) == pytest.approx(coils.best_turns(made), rel=1e-9)
    assert coils.coils_wound(made) - coils.coils_unwound(made) <= coils.best_turns(made) * (1 + 1e-9)


@given(barrels())
def test_as_much_over_half_as_under_gives_as_many_turns(made: Barrel) -> None:
    other = replace(made, length_mm=coils.longest_mm(made) - made.length_mm)
    turns = [coils.coils_wound(each) - coils.coils_unwound(each) for each in (made, other)]
    assert turns[0] == pytest.approx(turns[1], rel=1e-9, abs=1e-9)


def test_four_tenths_of_the_room_keep_97_percent_of_the_turns() -> None:
    usual = barrel()
    some = replace(usual, length_mm=0.4 * coils.longest_mm(usual))
    turns = coils.coils_wound(some) - coils.coils_unwound(some)
    assert turns / coils.best_turns(usual) == pytest.approx(0.97, abs=0.008)


def test_a_foil_loses_no_digits() -> None:
    foil = barrel(thickness_mm=1e-6, length_mm=1.0)
    assert coils.coils_unwound(foil) == pytest.approx(1 / (11 * math.pi), rel=1e-6)
    assert coils.coils_wound(foil) == pytest.approx(1 / (3.4 * math.pi), rel=1e-6)


def test_the_cautious_figure_is_784_thousandths_of_the_most_turns() -> None:
    assert coils.cautious_turns(barrel()) / coils.best_turns(barrel()) == pytest.approx(0.784, abs=5e-4)


def test_many_barrels_are_reckoned_at_once() -> None:
    lengths = np.array([200.0, 350.0, 500.0])
    at_once = coils.coils_wound(barrel(length_mm=lengths))
    assert list(np.asarray(at_once)) == [coils.coils_wound(barrel(length_mm=each)) for each in lengths]
