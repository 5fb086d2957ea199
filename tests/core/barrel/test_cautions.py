from typing import Any

import numpy as np
import pytest

from tests.core.barrel.drums import barrel
from tracker.core.barrel.cautions import cautions
from tracker.core.barrel.coils import longest_mm

# Arbor radius 1.7 mm; 747.43 mm of 0.115 mm fill the drum.
WARNED: list[tuple[dict[str, Any], list[str]]] = [
    ({}, []),
    ({"thickness_mm": 1.7 / 7.4, "length_mm": 187}, ["breaks"]),
    ({"thickness_mm": 1.7 / 7.6, "length_mm": 187}, ["sets"]),
    ({"thickness_mm": 1.7 / 9.9, "length_mm": 250}, ["sets"]),
    ({"thickness_mm": 1.7 / 10.1, "length_mm": 250}, []),
    ({"thickness_mm": 1.7 / 15.9, "length_mm": 400}, []),
    ({"thickness_mm": 1.7 / 16.1, "length_mm": 400, "least_torque_nmm": 1}, ["room lost"]),
    ({"length_mm": 747.43 * 0.39}, ["fill low"]),
    ({"length_mm": 747.43 * 0.41}, []),
    ({"length_mm": 747.43 * 0.59}, []),
    ({"length_mm": 747.43 * 0.61}, ["fill high"]),
    ({"thickness_mm": 0.05, "length_mm": 760, "least_torque_nmm": 0.0}, ["room lost", "strip long"]),
    ({"height_mm": 0.34, "least_torque_nmm": 0.0}, ["strip narrow"]),
    ({"height_mm": 0.35, "least_torque_nmm": 0.0}, []),
    ({"modulus_gpa": 1001.0}, ["modulus high"]),
    ({"free_turns": 19.7}, ["no torque"]),
    ({"least_torque_nmm": 7.5}, ["too weak"]),
    ({"least_torque_nmm": 7.4}, []),
]


@pytest.mark.parametrize(("other", "kinds"), WARNED)
def test_odd_barrels_are_warned_of_not_refused(other: dict[str, Any], kinds: list[str]) -> None:
    assert [each.kind for each in cautions(barrel(**other))] == kinds


def test_what_lies_on_a_limit_is_not_warned_of() -> None:
    for share in (0.4, 0.6):
        assert cautions(barrel(length_mm=float(longest_mm(barrel())) * share, least_torque_nmm=0)) == ()
    at_ten = barrel(thickness_mm=0.17, length_mm=250)
    assert at_ten.arbor_diameter_mm / 2 / at_ten.thickness_mm < 10.0
    assert cautions(at_ten) == ()


def test_a_caution_tells_figure_and_limit() -> None:
    (found,) = cautions(barrel(length_mm=747.4258695844933 * 0.3))
    assert (found.field, found.limit) == ("length_mm", 0.4)
    assert found.value == pytest.approx(0.3)


def test_of_many_barrels_the_first_to_be_warned_of_is_told() -> None:
    (found,) = cautions(barrel(free_turns=np.array([0.0, 20.0, 21.0])))
    assert (found.kind, found.value) == ("no torque", 20.0)
