from dataclasses import replace

import numpy as np
import pytest

from tests.core.barrel.drums import barrel
from tracker.core.barrel.coils import fill
from tracker.core.barrel.fit import choices, off, ranked
from tracker.core.barrel.line import Strip
from tracker.core.barrel.sums import sums

OWN = Strip(1.3, 0.115, 350.0, 11.0)


def test_the_strip_that_was_there_is_nearest_of_a_list() -> None:
    found = ranked(barrel(), [Strip(1.3, 0.12, 340.0), OWN, Strip(1.2, 0.11, 360.0)])
    assert found[0].strip == OWN
    assert found[0].off == pytest.approx(0.0, abs=1e-12)
    assert [each.off for each in found] == sorted(each.off for each in found if each.off is not None)
    assert all(each.why_not == () for each in found)


def test_a_tenth_less_height_is_a_tenth_less_torque_and_about_a_tenth_off() -> None:
    (found,) = ranked(barrel(), [replace(OWN, height_mm=1.17)])
    assert found.torque_full_nmm == pytest.approx(0.9 * sums(barrel()).torque_full_nmm)
    assert found.off == pytest.approx(-np.log(0.9))


@pytest.mark.parametrize(
    ("strip", "why"),
    [
        (Strip(1.4, 0.115, 350.0), ("too high",)),
        (Strip(1.3, 4.0, 10.0), ("too thick",)),
        (Strip(1.3, 0.115, 800.0), ("no room",)),
        (Strip(1.3, 0.08, 500.0), ("does not go",)),
        (Strip(1.4, 0.115, 800.0), ("too high", "no room")),
        (Strip(0.0, 0.115, 350.0), ("not a strip",)),
        (Strip(1.3, float("nan"), 350.0), ("not a strip",)),
    ],
)
def test_why_a_strip_does_not_do_is_told(strip: Strip, why: tuple[str, ...]) -> None:
    (found,) = ranked(barrel(), [strip])
    assert found.why_not == why


def test_a_spring_sold_for_another_barrel_does_if_its_sizes_do() -> None:
    (found,) = ranked(barrel(), [replace(OWN, drum_diameter_mm=13.0)])
    assert found.why_not == ()


def test_what_does_not_do_stands_last_however_near() -> None:
    found = ranked(barrel(), [replace(OWN, height_mm=1.31), Strip(0.9, 0.1, 300.0), Strip(1.3, 0.115, 800.0)])
    assert [bool(each.why_not) for each in found] == [False, True, True]
    assert found[-1].off is None


def test_strips_that_would_do_take_four_to_six_tenths_of_the_room() -> None:
    found = choices(barrel())
    taken = np.array(
        [
            [fill(barrel(thickness_mm=t, length_mm=length)) for length in row]
            for t, row in zip(found.thickness_mm, found.length_mm, strict=True)
        ]
    )
    assert taken == pytest.approx(np.broadcast_to([0.4, 0.5, 0.6], taken.shape))
    assert 10.0 <= (1.7 / found.thickness_mm).min() <= (1.7 / found.thickness_mm).max() <= 16.0
    assert np.diff(found.thickness_mm) == pytest.approx(0.005)


def test_a_range_tells_what_each_strip_gives_and_which_is_nearest() -> None:
    found = choices(barrel())
    row, column = found.nearest
    assert found.off[row, column] == found.off.min()
    assert found.thickness_mm[row] == pytest.approx(0.115)
    alone = sums(
        barrel(thickness_mm=0.115, length_mm=found.length_mm[row, 0], free_turns=6.0 * found.length_mm[row, 0] / 350.0)
    )
    assert (found.turns[row, 0], found.torque_full_nmm[row, 0], found.reserve_h[row, 0]) == pytest.approx(
        (alone.turns, alone.torque_full_nmm, alone.reserve_h)
    )


@pytest.mark.parametrize("size", [0.2, 1.0, 30.0])
def test_small_and_large_drums_have_a_range_of_a_length_to_be_read(size: float) -> None:
    large = barrel(
        drum_diameter_mm=11 * size, arbor_diameter_mm=3.4 * size, thickness_mm=0.115 * size, length_mm=350 * size
    )
    assert 1 <= choices(large).thickness_mm.size <= 201


def test_what_gives_no_torque_is_infinitely_far_off() -> None:
    for torque_nmm in (-1.0, 0.0):
        assert off(replace(sums(barrel()), torque_full_nmm=torque_nmm), sums(barrel())) == np.inf
