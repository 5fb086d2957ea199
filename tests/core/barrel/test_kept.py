"""What is kept of a barrel, and when it can be reckoned with."""

from dataclasses import replace

import pytest

from tests.core.barrel.drums import USUAL, barrel
from tracker.core.barrel.checked import Unfit
from tracker.core.barrel.coils import coils_wound
from tracker.core.barrel.kept import Kept, barrel_of, fitted_of, hours_of, missing
from tracker.core.barrel.torque import torque_nmm

KEPT = Kept(**USUAL)


def test_what_is_fully_known_is_that_barrel() -> None:
    assert barrel_of(KEPT) == barrel()


def test_what_is_not_known_is_named_and_not_reckoned_with() -> None:
    some = replace(KEPT, arbor_diameter_mm=None, modulus_gpa=None)
    assert missing(some) == ("arbor_diameter_mm", "modulus_gpa")
    with pytest.raises(ValueError, match="arbor_diameter_mm, modulus_gpa"):
        barrel_of(some)


def test_hours_follow_from_the_train() -> None:
    train = replace(KEPT, hours_per_turn=None, barrel_teeth=78, pinion_leaves=12)
    assert hours_of(train) == 6.5
    assert hours_of(replace(train, wheel_hours=2.0)) == 13.0
    assert hours_of(replace(train, pinion_leaves=None)) is None


def test_two_readings_fit_the_curve() -> None:
    read = replace(KEPT, gauge_full_nmm=8.0, gauge_later_nmm=5.0, gauge_turns=4.0)
    found = fitted_of(read)
    assert found is not None
    full = coils_wound(found.barrel)
    assert torque_nmm(found.barrel, full) == pytest.approx(8.0)
    assert torque_nmm(found.barrel, full - 4.0) == pytest.approx(5.0)
    assert fitted_of(KEPT) is None
    with pytest.raises(Unfit):
        fitted_of(replace(read, gauge_later_nmm=9.0))
