from tests.core.barrel.drums import USUAL
from tracker.core.barrel.entered import Barrel


def test_a_barrel_is_one_of_a_straight_strip_without_friction_unless_told() -> None:
    told = {
        name: value for name, value in USUAL.items() if name not in {"free_turns", "efficiency", "least_torque_nmm"}
    }
    made = Barrel(**told)
    assert (made.free_turns, made.efficiency, made.least_torque_nmm, made.barrels, made.arrangement) == (
        0,
        1,
        0,
        1,
        "series",
    )
