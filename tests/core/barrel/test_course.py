import numpy as np
import pytest

from tests.core.barrel.drums import barrel
from tracker.core.barrel.checked import Unfit
from tracker.core.barrel.course import course
from tracker.core.barrel.sums import sums


def test_the_curve_runs_from_the_wall_to_full_wind() -> None:
    found, of = course(barrel(), points=11), sums(barrel())
    assert (found.turns[0], found.turns[-1]) == (0.0, pytest.approx(of.turns))
    assert found.torque_nmm[-1] == pytest.approx(of.torque_full_nmm)
    assert found.turns.shape == found.torque_nmm.shape == (11,)


def test_the_train_stops_where_the_curve_crosses_its_least_torque() -> None:
    found = course(barrel(least_torque_nmm=5.0))
    assert np.interp(found.stop_turns, found.turns, found.torque_nmm) == pytest.approx(5.0)


def test_a_barrel_that_can_not_be_has_no_curve() -> None:
    with pytest.raises(Unfit):
        course(barrel(length_mm=800))
