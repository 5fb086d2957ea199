import pytest

from tracker.core.barrel.checked import Unfit
from tracker.core.barrel.train import hours_from_count, hours_from_teeth


def test_eighty_teeth_on_ten_leaves_of_the_centre_wheel_turn_in_eight_hours() -> None:
    assert hours_from_teeth(80, 10) == 8.0


def test_a_wheel_between_barrel_and_centre_makes_a_turn_longer() -> None:
    assert hours_from_teeth(96, 12, wheel_hours=12.0) == 96.0


def test_seven_turns_in_42_hours_are_six_hours_each() -> None:
    assert hours_from_count(7, 42) == 6.0


@pytest.mark.parametrize(
    ("given", "field"), [((0, 10), "barrel_teeth"), ((80, 0), "pinion_leaves"), ((80, 10, -1), "wheel_hours")]
)
def test_wheels_without_teeth_are_refused(given: tuple[float, ...], field: str) -> None:
    with pytest.raises(Unfit) as refused:
        hours_from_teeth(*given)
    assert refused.value.field == field


@pytest.mark.parametrize(("given", "field"), [((0, 42), "turns_counted"), ((7, 0), "hours_counted")])
def test_nothing_counted_is_refused(given: tuple[float, float], field: str) -> None:
    with pytest.raises(Unfit) as refused:
        hours_from_count(*given)
    assert refused.value.field == field
