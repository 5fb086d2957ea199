"""Faults and their odds in words."""

from dataclasses import replace

import pytest

from tracker import faultwords
from tracker.core.faults import FAULTS, SIGNS, Kind, next_looks, odds, sure


def test_a_hand_wound_spring_has_no_bridle() -> None:
    assert faultwords.fault("slips early", Kind()) == "the outer hooking lets go"
    assert faultwords.fault("slips early", Kind(rotor=True)) == "the bridle slips early"


def test_every_fault_and_sign_has_its_words() -> None:
    assert all(faultwords.fault(fault, Kind()) for fault in FAULTS)
    assert len({label for _, label in faultwords.sign_choices()}) == len(SIGNS)


@pytest.mark.parametrize(
    ("share", "told"),
    [
        (0.95, "almost surely (95 %)"),
        (0.75, "likely (75 %)"),
        (0.5, "perhaps (50 %)"),
        (0.2, "less likely (20 %)"),
        (0.01, "unlikely (1 %)"),
    ],
)
def test_odds_are_words_with_the_figure_beside(share: float, told: str) -> None:
    assert faultwords.how_likely(share) == told


def test_the_sentence_tells_on_how_many_signs_it_stands() -> None:
    signs = {"turns left": sure("more")}
    assert faultwords.likeliest(odds(signs, Kind()), Kind(), 1).startswith("From 1 sign: ")  # type: ignore[arg-type]
    assert "as a guess" in faultwords.likeliest(odds({}, Kind()), Kind(), 0)
    assert faultwords.look(next_looks({}, Kind())).startswith("Most telling next: ")


def test_one_minute_is_not_told_as_several() -> None:
    found = [replace(next_looks({}, Kind())[0], sign="came")]
    assert faultwords.look(found).endswith("; about a minute.")


@pytest.mark.parametrize(
    ("times", "told"), [(2.0, "raises them 2.0 times"), (0.5, "lowers them 2.0 times"), (1.02, "hardly moves them")]
)
def test_how_far_a_sign_moved_the_odds(times: float, told: str) -> None:
    assert faultwords.moves(times) == told


def test_a_row_of_the_log() -> None:
    assert faultwords.noted("turns left", "", 1.5, 1.0) == "turns left in the barrel at the stop: 1.5 (should be 1)"
    assert faultwords.noted("rate", "usual", None, None) == "rate: usual"
