import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given

from tests.core.barrel.drums import barrel, barrels
from tracker.core.barrel.checked import RANGES, Unfit, check, fits
from tracker.core.barrel.entered import Barrel

LENGTHS = [name for name in RANGES if name.endswith("_mm")]
REFUSED: list[tuple[dict[str, Any], str, str]] = [
    *(({name: value}, "not finite", name) for name in RANGES for value in (math.nan, math.inf, -math.inf)),
    *(({name: value}, "not above zero", name) for name in [*LENGTHS, "modulus_gpa", "hours_per_turn", "efficiency"] for value in (0.0, -1.0)),
    *(({name: 2e6}, "out of range", name) for name in [*LENGTHS, "modulus_gpa", "hours_per_turn", "free_turns"]),
    ({"least_torque_nmm": 2e12}, "out of range", "least_torque_nmm"),
    *(({name: 1e-7}, "out of range", name) for name in [*LENGTHS, "efficiency"]),
    ({"efficiency": 1.01}, "above one", "efficiency"),
    ({"least_torque_nmm": -0.1}, "below zero", "least_torque_nmm"),
    ({"barrels": 0}, "not above zero", "barrels"),
    ({"barrels": 1.5}, "not whole", "barrels"),
    ({"barrels": 101}, "out of range", "barrels"),
    ({"arrangement": "beside"}, "no arrangement", "arrangement"),
    ({"arbor_diameter_mm": 11.0}, "arbor not inside", "arbor_diameter_mm"),
    ({"arbor_diameter_mm": 12.0}, "arbor not inside", "arbor_diameter_mm"),
    ({"thickness_mm": 3.9, "length_mm": 1.0}, "strip too thick", "thickness_mm"),
    ({"length_mm": 750.0}, "no room", "length_mm"),
]  # fmt: skip


@pytest.mark.parametrize(("wrong", "why", "field"), REFUSED)
def test_what_cannot_be_reckoned_with_is_refused_by_its_field(wrong: dict[str, Any], why: str, field: str) -> None:
    with pytest.raises(Unfit) as refused:
        check(barrel(**wrong))
    assert (refused.value.why, refused.value.field) == (why, field)


@given(barrels())
def test_a_barrel_that_fits_passes(made: Barrel) -> None:
    check(made)
    assert fits(made)


def test_a_strip_that_fills_the_room_exactly_is_refused() -> None:
    room = math.pi / 4 * (10.0**2 - 4.0**2)
    check(barrel(drum_diameter_mm=10.0, arbor_diameter_mm=4.0, thickness_mm=0.1, length_mm=room / 0.1 * (1 - 1e-12)))
    with pytest.raises(Unfit):
        check(
            barrel(drum_diameter_mm=10.0, arbor_diameter_mm=4.0, thickness_mm=0.1, length_mm=room / 0.1 * (1 + 1e-12))
        )


def test_of_many_barrels_the_first_that_is_wrong_is_told() -> None:
    lengths = np.array([300.0, 800.0, 900.0])
    with pytest.raises(Unfit) as refused:
        check(barrel(length_mm=lengths))
    assert refused.value.values == pytest.approx({"length": 800.0, "longest": 747.4258695844933})
    assert list(fits(barrel(length_mm=lengths))) == [True, False, False]


def test_a_refusal_names_the_slip_that_would_explain_it() -> None:
    with pytest.raises(Unfit) as refused:
        check(barrel(thickness_mm=11.5))
    assert [each.unit for each in refused.value.suspected] == ["hundredths of a millimetre"]
