"""What if: the ways that stand beside the present barrel."""

from dataclasses import replace

import pytest

from tests.core.barrel.drums import USUAL
from tracker.core.barrel.kept import Kept
from tracker.web.barrelways import ways

KEPT = Kept(**USUAL)


def _lasts(kept: Kept, **typed: str) -> dict[str, float]:
    return {way.name: float(way.found.reserve_h) for way in ways(kept, typed).found}


def test_the_present_stands_first_and_two_barrels_and_the_best_are_always_there() -> None:
    assert list(_lasts(KEPT)) == [
        "As it is",
        "Two barrels one behind the other",
        "Two barrels side by side",
        "The thickness that runs longest",
    ]


def test_without_a_least_torque_there_is_no_best_thickness() -> None:
    assert "The thickness that runs longest" not in _lasts(replace(KEPT, least_torque_nmm=None))


def test_none_runs_longer_than_the_best_thickness() -> None:
    kept = replace(KEPT, least_torque_nmm=4.5)
    for thickness in ("0.09", "0.1", "0.11", "0.12", "0.13", "0.14"):
        lasts = _lasts(kept, other_thickness_mm=thickness)
        assert lasts[f"A strip {thickness} mm thick"] <= lasts["The thickness that runs longest"] + 1e-9


def test_a_beat_needs_both_figures() -> None:
    assert len(_lasts(KEPT, to_vph="21600")) == 4
    lasts = _lasts(KEPT, from_vph="18000", to_vph="21600")
    assert lasts["At 21600 vibrations an hour, as much energy a beat"] == pytest.approx(lasts["As it is"] * 18 / 21.6)
    assert lasts["At 21600 vibrations an hour, old train"] == lasts["As it is"]


def test_what_can_not_be_is_told_by_its_field_and_the_rest_is_reckoned() -> None:
    found = ways(KEPT, {"other_drum_mm": "2", "better": "much", "other_thickness_mm": "0.1"})
    assert found.problems["better"] == "“much” is not a number. Give a number."
    assert "does not go into a drum of 2 mm" in found.problems["other_drum_mm"]
    assert "A strip 0.1 mm thick" in [way.name for way in found.found]


def test_after_set_stands_there_where_the_limit_is_known() -> None:
    lasts = _lasts(replace(KEPT, limit_mpa=1_500.0))
    assert lasts["After it has set"] < lasts["As it is"]
