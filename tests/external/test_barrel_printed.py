"""Barrel sums beside printed examples and closed forms; each test names its source."""

import math
from typing import Any

import pytest

from tracker.core.barrel.coils import CAUTIOUS, best_length_mm, best_turns
from tracker.core.barrel.entered import Barrel
from tracker.core.barrel.slips import GPA_PER
from tracker.core.barrel.sums import sums
from tracker.core.barrel.torque import torque_nmm
from tracker.core.barrel.train import hours_from_teeth


def drum(radius: float, arbor: float, thickness: float, length: float = 1.0, **other: Any) -> Barrel:
    fields: dict[str, Any] = {"height_mm": 1.2, "modulus_gpa": 210.0, "hours_per_turn": 8.0}
    sizes = {
        "drum_diameter_mm": 2 * radius,
        "arbor_diameter_mm": 2 * arbor,
        "thickness_mm": thickness,
        "length_mm": length,
    }
    return Barrel(**(fields | sizes | other))


def test_the_length_of_an_exercise_on_a_students_weblog() -> None:
    # Weblog "tickety-boom", exercise on mainspring length: R 4.5, r 1.5, e 0.1 mm; printed 282.6 with pi = 3.14.
    assert best_length_mm(drum(4.5, 1.5, 0.1)) == pytest.approx(282.743, abs=1e-3)
    assert best_length_mm(drum(4.5, 1.5, 0.1)) * 3.14 / math.pi == pytest.approx(282.6, abs=1e-6)


def test_the_length_of_a_watchmaking_diary() -> None:
    # Watchmaking diary, page "The Mainsprings": R 10.65, r 3.55, e 0.254 mm; it prints 619.04, having taken r for 3.65.
    assert best_length_mm(drum(10.65, 3.55, 0.254)) == pytest.approx(623.495, abs=1e-3)
    assert best_length_mm(drum(10.65, 3.65, 0.254)) == pytest.approx(619.04, abs=0.1)


def test_the_hundredths_rule_of_a_handbook_is_a_twentieth_short() -> None:
    # The same diary credits it to a book's ninth chapter: with a hub of a third, turns = 0.075 D/e (41 less 26 parts over two).
    found = best_turns(drum(10.65, 3.55, 0.254))
    assert found == pytest.approx(6.599, abs=1e-3)
    assert found == pytest.approx(0.075 * 21.3 / 0.254 / 0.953, rel=1e-3)


@pytest.mark.parametrize(("radius", "thickness"), [(3.0, 0.05), (4.5, 0.1), (10.65, 0.254), (150.0, 1.2)])
def test_with_a_hub_of_a_third_the_most_turns_are_a_constant_of_the_drum(radius: float, thickness: float) -> None:
    # Geometry: (2 sqrt(5)/3 - 4/3) R/e = 0.157379 R/e.
    found = best_turns(drum(radius, radius / 3, thickness))
    assert found * thickness / radius == pytest.approx((2 * math.sqrt(5) - 4) / 3, rel=1e-12)
    assert found * thickness / radius == pytest.approx(0.157379, abs=1e-6)


@pytest.mark.parametrize(
    ("length", "run_down", "wound", "turns"),
    [
        (200.0, 7.7390254068359265, 14.353360495309246, 6.61433508847332),
        (240.0, 9.488645855742103, 16.447475683130712, 6.958829827388611),
        (282.743339, 11.458980337503156, 18.541019662496847, 7.08203932499369),
        (320.0, 13.27606007741362, 20.26459464942324, 6.9885345720096215),
        (360.0, 15.350642338520153, 22.02587730576612, 6.6752349672459665),
    ],
)
def test_turns_by_length(length: float, run_down: float, wound: float, turns: float) -> None:
    # Geometry, computed apart from this program: R 4.5, r 1.5, e 0.1 mm; most at half the area.
    found = sums(drum(4.5, 1.5, 0.1, length))
    assert (found.coils_unwound, found.coils_wound, found.turns) == pytest.approx((run_down, wound, turns), rel=1e-9)


@pytest.mark.parametrize(
    ("radius", "arbor", "thickness"), [(4.5, 1.5, 0.1), (5.5, 1.7, 0.115), (10.65, 3.55, 0.254), (90.0, 20.0, 1.5)]
)
def test_turns_at_half_the_area_are_the_closed_form(radius: float, arbor: float, thickness: float) -> None:
    # Geometry: N = (2 sqrt((R^2 + r^2)/2) - R - r)/e at L = pi (R^2 - r^2)/2e.
    length = math.pi * (radius**2 - arbor**2) / (2 * thickness)
    found = sums(drum(radius, arbor, thickness, length))
    closed = (2 * math.sqrt((radius**2 + arbor**2) / 2) - radius - arbor) / thickness
    assert abs(float(found.turns) - closed) < 1e-9
    assert abs(float(found.best_turns) - closed) < 1e-9
    assert found.fill == pytest.approx(0.5, rel=1e-12)


@pytest.mark.parametrize(("bore", "hub"), [(9.0, 3.0), (11.0, 3.4), (21.3, 7.1)])
def test_the_handbooks_2_55_is_eight_over_pi(bore: float, hub: float) -> None:
    # Handbooks: L = (D^2 - d^2)/2.55 t; 8/pi = 2.5465, so it is good to 0.2 %.
    assert best_length_mm(drum(bore / 2, hub / 2, 0.1)) == pytest.approx((bore**2 - hub**2) / (2.55 * 0.1), rel=2e-3)


def test_2_55_in_the_formula_of_turns_is_a_cautious_figure() -> None:
    # From memory, no page seen: N = (sqrt(2 (D^2 + d^2)) - D - d)/2.55 t, which is 0.784 of the sum.
    printed = (math.sqrt(2 * (9.0**2 + 3.0**2)) - 9.0 - 3.0) / (2.55 * 0.1)
    assert best_turns(drum(4.5, 1.5, 0.1)) * CAUTIOUS == pytest.approx(printed)
    assert pytest.approx(0.784, abs=5e-4) == CAUTIOUS


def test_the_classical_proportions_give_a_watchs_turns() -> None:
    # Hub D/3 (the diary page); thickness hub/30 to hub/32 (common practice, no source).
    for parts in (30, 32):
        found = best_turns(drum(4.5, 1.5, 3.0 / parts))
        assert 7.0 < float(found) < 7.6


def test_the_torque_of_a_worked_example() -> None:
    # 7search, "Spiral torsion spring calculator": E 200 GPa, b 10, t 1, L 100 mm, half a turn; printed 5.24 N m.
    spiral = drum(50.0, 5.0, 1.0, 100.0, height_mm=10.0, modulus_gpa=200.0)
    assert torque_nmm(spiral, 0.5) == pytest.approx(5235.988, abs=1e-3)
    assert float(torque_nmm(spiral, 0.5)) / 1000 == pytest.approx(5.24, abs=0.01)


def test_the_torque_of_a_spring_of_a_watchs_size() -> None:
    # M = pi E b t^3 n/6 L, computed: E 210 GPa, b 1.2, t 0.1, L 400 mm, six turns from free.
    assert torque_nmm(drum(5.5, 1.7, 0.1, 400.0), 6.0) == pytest.approx(1.979203, abs=1e-6)


def test_a_strip_a_tenth_thinner_gives_729_thousandths_of_the_torque() -> None:
    # t^3 at the same turns and length.
    thick, thin = (torque_nmm(drum(5.5, 1.7, thickness, 400.0), 6.0) for thickness in (0.1, 0.09))
    assert thin / thick == pytest.approx(0.729, abs=1e-9)


def test_eighty_teeth_on_ten_leaves_run_48_hours_on_six_turns() -> None:
    # Definition: the centre wheel turns once an hour.
    found = sums(drum(4.5, 1.5, 0.1, 282.743, hours_per_turn=hours_from_teeth(80, 10)))
    assert found.reserve_h / found.usable_turns * 6 == pytest.approx(48.0, rel=1e-12)


@pytest.mark.parametrize(
    ("million_psi", "gpa"), [(29.5, 203.4), (29.0, 199.9), (28.5, 196.5), (28.0, 193.1), (30.0, 207.0), (32.0, 220.6)]
)
def test_moduli_of_tables_in_million_psi_are_those_in_gpa(million_psi: float, gpa: float) -> None:
    # Engineers Edge, "Spring Materials Modulus of Elasticity"; wire tables after ASTM A228, A313 (1 psi = 6894.757 Pa).
    assert million_psi * GPA_PER["million psi"] == pytest.approx(gpa, rel=2e-3)


def test_a_strip_longer_than_the_makers_limit_is_warned_of() -> None:
    # John Evans' Sons, page "Power springs": length under 15,000 thicknesses.
    kinds = [
        [getattr(each, "kind", "") for each in sums(drum(20.0, 2.0, 0.02, length)).warnings]
        for length in (299.0, 301.0)
    ]
    assert ["strip long" in each for each in kinds] == [False, True]
