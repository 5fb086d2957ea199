"""What the workshop of the example knows of three barrels; every figure is invented."""

from collections.abc import Mapping
from typing import Any

BARRELS: Mapping[str, Mapping[str, Any]] = {
    "Night ferry": {
        "drum_diameter_mm": 12.0, "arbor_diameter_mm": 3.6, "height_mm": 1.5, "thickness_mm": 0.125, "length_mm": 390.0,
        "modulus_gpa": 205.0, "alloy": "blued steel", "free_turns": 4.0, "efficiency": 0.88, "barrel_teeth": 72,
        "pinion_leaves": 12, "least_torque_nmm": 6.5, "outer_end": "clamped", "source": "measured",
    },
    "Workshop spare": {
        "drum_diameter_mm": 10.6, "arbor_diameter_mm": 3.2, "height_mm": 1.2, "thickness_mm": 0.11, "length_mm": 340.0,
        "modulus_gpa": 205.0, "alloy": "blued steel", "free_turns": 2.0, "efficiency": 0.9, "barrel_teeth": 66,
        "pinion_leaves": 12, "least_torque_nmm": 3.0, "source": "measured", "limit_mpa": 2_600.0,
    },
    "Slack water": {
        "drum_diameter_mm": 11.8, "arbor_diameter_mm": 3.0, "height_mm": 1.35, "thickness_mm": 0.1, "length_mm": 480.0,
        "modulus_gpa": 210.0, "alloy": "white alloy", "free_turns": -4.0, "efficiency": 0.9, "barrel_teeth": 68,
        "pinion_leaves": 12, "least_torque_nmm": 5.5, "source": "from the supplier",
    },
}  # fmt: skip
"""By nickname, as `KeepBarrel` takes it."""
