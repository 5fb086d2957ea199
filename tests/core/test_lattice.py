import numpy as np
import pytest

from tracker.core.lattice import (
    Box,
    boxed,
    cut,
    held,
    leaned,
    lie_of,
    parts,
    points_needed,
    within,
)
from tracker.core.likelihood import Plane

AXIS = np.linspace(-6.0, 6.0, 25)
NORMAL = np.exp(-(AXIS**2) / 2.0)


def test_a_box_ends_where_the_mass_falls_below_its_share() -> None:
    expected = np.sqrt(2.0 * np.log(1e4))
    assert boxed(AXIS, NORMAL, 1e-4) == pytest.approx((-expected, expected), abs=0.05)


def test_mass_cut_off_by_the_edge_widens_the_box() -> None:
    low, high = boxed(AXIS[8:], NORMAL[8:], 1e-4)
    assert low < AXIS[8] - 1.0
    assert high == pytest.approx(4.29, abs=0.05)


def test_mass_that_rises_towards_the_edge_widens_it_by_half_at_most() -> None:
    low, high = held(np.linspace(0.0, 1.0, 11), np.linspace(1.0, 2.0, 11), 1e-4)
    assert (low, high) == pytest.approx((-0.5, 1.5))


def test_all_mass_on_one_point_keeps_half_a_cell_either_side() -> None:
    weight = np.zeros(25)
    weight[12] = 1.0
    assert boxed(AXIS, weight, 1e-4) == pytest.approx((-0.25, 0.25))


def test_a_leaning_mass_is_taken_at_the_age_where_it_stands_upright() -> None:
    plane = Plane(np.zeros(1), np.linspace(-0.1, 0.1, 41), np.linspace(-1.0, 1.0, 201), 0.0)
    at_two_years = plane.slope[:, None] * 2.0 + plane.level
    mass = np.exp(-((at_two_years / 0.05) ** 2) / 2.0 - (plane.slope[:, None] / 0.02) ** 2 / 2.0)
    (low, high), age = leaned(plane, mass, 1e-4)
    assert age == pytest.approx(2.0, abs=0.02)
    assert (low, high) == pytest.approx((-0.2146, 0.2146), abs=0.02)


def test_the_edge_is_noticed_only_where_mass_lies() -> None:
    assert not lie_of(NORMAL).at_edge
    assert lie_of(NORMAL[10:]).at_edge


@pytest.mark.parametrize("cell", [0.2, 0.5, 1.0])
def test_points_used_tell_the_deviation_in_cells(cell: float) -> None:
    weight = np.exp(-((np.arange(-40, 41) * cell) ** 2) / 2.0)
    assert lie_of(weight).points[0] * cell == pytest.approx(2.0 * np.sqrt(np.pi), rel=1e-3)


def test_of_humps_the_points_of_one_are_told() -> None:
    axis = np.arange(200.0)
    weight = np.exp(-(((axis - np.array([[40.0], [100.0], [160.0]])) / 3.0) ** 2) / 2.0).sum(0)
    assert lie_of(weight).humps == [3]
    assert lie_of(weight).points[0] == pytest.approx(3.0 * 2.0 * np.sqrt(np.pi), rel=0.01)


def test_single_points_far_apart_are_no_resolved_humps() -> None:
    weight = np.full(25, 1e-9)
    weight[[5, 12, 20]] = 1.0
    assert lie_of(weight).points[0] < 1.0


def test_the_points_needed_follow_from_the_deviation() -> None:
    assert points_needed(AXIS, lie_of(NORMAL).points[0], (-5.0, 5.0), 2.0) in {20, 21}


def test_a_box_lays_a_lattice_with_its_edges() -> None:
    plane = Box((-4.0, -2.0), (-0.1, 0.1), (-0.3, 0.3), 1.5).plane((3, 5, 7))
    assert plane.shape == (3, 5, 7)
    assert (plane.level[0], plane.level[-1], plane.at_age) == (-0.3, 0.3, 1.5)


def two_humps(plane: Plane) -> np.ndarray:
    """Levels about -0.5 and 0.5 at an age of two years, of any slope."""
    level = plane.slope[:, None] * (2.0 - plane.at_age) + plane.level
    return np.exp(-(((level - 0.5) / 0.03) ** 2) / 2.0) + np.exp(-(((level + 0.5) / 0.03) ** 2) / 2.0)


def test_of_the_levels_only_those_are_laid_that_lie_in_humps() -> None:
    sought = Box((0.0, 1.0), (-0.1, 0.1), (-1.0, 1.0), 0.0).plane((2, 9, 201))
    humps_at = parts(sought, two_humps(sought), 1e-5, 2.0)
    assert len(humps_at) == 2
    box = Box((0.0, 1.0), (-0.1, 0.1), (-1.0, 1.0), 2.0)
    laid = box.plane((2, 30, 401), humps_at)
    assert laid.level.size < 0.35 * 401
    assert laid.cell == pytest.approx(0.005)
    assert [part.stop - part.start for part in laid.parts] == pytest.approx([laid.level.size / 2] * 2, abs=2)
    whole = two_humps(box.plane((2, 30, 401))).sum()
    assert two_humps(laid).sum() == pytest.approx(whole, rel=1e-5)
    assert not cut(laid, two_humps(laid).sum(0), 1e-5)


def test_it_is_noticed_where_a_hump_is_cut() -> None:
    laid = Box((0.0, 1.0), (-0.1, 0.1), (-1.0, 1.0), 2.0).plane((2, 30, 401), np.array([[-0.7, -0.47], [0.4, 0.6]]))
    assert cut(laid, two_humps(laid).sum(0), 1e-5)


def test_a_mass_in_one_piece_is_laid_whole() -> None:
    plane = Plane(np.zeros(1), np.linspace(-0.1, 0.1, 5), np.linspace(-1.0, 1.0, 41), 0.0)
    held_in = parts(plane, np.exp(-((plane.level / 0.4) ** 2)) * np.ones((5, 1)), 1e-5, 0.0)
    assert within(plane.level, held_in).all()
