from typing import Any

import numpy as np
import pytest
from hypothesis import given

from tests.core.barrel.drums import LENGTHS, USUAL, barrel, barrels
from tracker.core.barrel.entered import Barrel
from tracker.core.barrel.slips import slips, usual

INCHES = {name: USUAL[name] / 25.4 for name in LENGTHS}
DRUM_IN = {name: INCHES[name] for name in ("drum_diameter_mm", "arbor_diameter_mm")}

MISTAKEN: list[tuple[dict[str, Any], str]] = [
    ({"thickness_mm": 11.5}, "hundredths of a millimetre"),
    ({"thickness_mm": 115}, "micrometres"),
    ({"thickness_mm": 0.115 / 25.4}, "inches"),
    ({"height_mm": 130}, "hundredths of a millimetre"),
    ({"height_mm": 1.3 / 25.4}, "inches"),
    ({"length_mm": 35}, "centimetres"),
    ({"length_mm": 0.35}, "metres"),
    ({"length_mm": 350 / 25.4}, "inches"),
    ({"drum_diameter_mm": 1.1}, "centimetres"),
    ({"drum_diameter_mm": 11 / 25.4}, "inches"),
    ({"arbor_diameter_mm": 0.34}, "centimetres"),
    (DRUM_IN, "inches"),
    ({"thickness_mm": 11.5, "height_mm": 130}, "hundredths of a millimetre"),
    (INCHES, "inches"),
    ({"modulus_gpa": 205_000}, "MPa"),
    ({"modulus_gpa": 20_900}, "kgf/mm²"),
    ({"modulus_gpa": 29.7}, "million psi"),
]


@pytest.mark.parametrize(("mistaken", "unit"), MISTAKEN)
def test_a_mistaken_unit_is_suspected_with_what_was_meant(mistaken: dict[str, Any], unit: str) -> None:
    (slip,) = slips(barrel(**mistaken))
    assert (slip.fields, slip.unit) == (tuple(mistaken), unit)
    assert slip.would_be == pytest.approx([USUAL[name] for name in mistaken], rel=0.02)


@given(barrels())
def test_no_usual_barrel_is_suspected(made: Barrel) -> None:
    if usual(made):
        assert slips(made) == ()


def test_an_odd_barrel_that_no_unit_explains_is_left_alone() -> None:
    assert slips(barrel(length_mm=3500)) == ()


def test_what_ifs_about_a_usual_barrel_raise_no_suspicion() -> None:
    assert slips(barrel(thickness_mm=np.linspace(0.01, 0.3, 50))) == ()
