"""Barrel sums in words: every refusal, warning and slip has its one sentence."""

from typing import Any, get_args

import pytest

from tests.core.barrel.drums import barrel
from tests.core.barrel.test_cautions import WARNED
from tests.core.barrel.test_slips import MISTAKEN
from tracker import barrelwords
from tracker.core.barrel import whatif
from tracker.core.barrel.cautions import Kind
from tracker.core.barrel.checked import RANGES, Why
from tracker.core.barrel.entered import Barrel
from tracker.core.barrel.fit import WhyNot, ranked
from tracker.core.barrel.gauge import fitted
from tracker.core.barrel.line import Strip
from tracker.core.barrel.settled import after_set
from tracker.core.barrel.slips import slips
from tracker.core.barrel.sums import FIGURES, sums
from tracker.core.barrel.whatif import Assumed

CAUTIONED: list[tuple[dict[str, Any], str]] = [
    ({"thickness_mm": 0.23, "length_mm": 187}, "The arbor's radius is 7.4 thicknesses of the strip; under 7.5 a spring may break."),
    ({"thickness_mm": 0.18, "length_mm": 240}, "The arbor's radius is 9.4 thicknesses of the strip; under 10 a spring may set."),
    ({"thickness_mm": 0.1, "length_mm": 430, "least_torque_nmm": 1}, "The arbor's radius is 17.0 thicknesses of the strip; over 16 it takes room from the strip."),
    ({"length_mm": 225}, "The strip takes 30 % of the room; under 40 % turns are given away."),
    ({"length_mm": 523}, "The strip takes 70 % of the room; over 60 % turns are given away."),
    ({"height_mm": 0.3, "least_torque_nmm": 0}, "The strip's height is 2.6 thicknesses; under 3 a strip may twist."),
    ({"modulus_gpa": 1500}, "No metal has a modulus of 1,500 GPa; is the figure in GPa?"),
    ({"free_turns": 25}, "Out of the drum the strip has 25 turns, on the arbor 19.7; so it gives no torque."),
    ({"least_torque_nmm": 9}, "At full wind the train gets 7.46 N mm where it wants 9; so it does not go."),
]  # fmt: skip


@pytest.mark.parametrize(("other", "sentence"), CAUTIONED)
def test_a_warning_is_one_sentence(other: dict[str, Any], sentence: str) -> None:
    assert [barrelwords.warning(each) for each in sums(barrel(**other)).warnings] == [sentence]


def test_a_long_strip_is_warned_of() -> None:
    found = sums(barrel(thickness_mm=0.05, length_mm=760, least_torque_nmm=0)).warnings
    assert "The strip is 15,200 thicknesses long; over 15,000 friction between the coils tells." in map(
        barrelwords.warning, found
    )


def test_every_refusal_and_warning_has_its_words() -> None:
    assert set(barrelwords.REFUSED) == set(get_args(Why))
    assert set(barrelwords.CAUTIONS) == set(get_args(Kind)) == {kind for _, kinds in WARNED for kind in kinds}
    assert set(barrelwords.FIELDS) >= {*RANGES, "arrangement"} == set(Barrel.__slots__)


def test_every_what_if_says_what_it_assumes() -> None:
    best = whatif.best_thickness(barrel())
    assert best is not None
    found = [
        *whatif.at_beat(barrel(), 18_000, 28_800),
        whatif.with_thickness(barrel(), 0.1),
        whatif.with_drum(barrel(), 12),
        whatif.with_barrels(barrel(), 2, "series"),
        whatif.with_train(barrel(), 1.2),
        best,
    ]
    assert {each.assumed for each in found} == set(get_args(Assumed)) == set(barrelwords.ASSUMED)
    said = [barrelwords.assumed(each, barrel()) for each in found]
    assert "then swings 0.62 times as wide" in said[0]
    assert "2.5 times the least torque" in said[-1]


def test_a_spring_that_does_not_do_says_why() -> None:
    strips = [
        Strip(1.4, 0.115, 350.0), Strip(1.3, 4.0, 10.0), Strip(1.3, 0.115, 800.0), Strip(1.3, 0.08, 500.0), Strip(0.0, 1.0, 1.0)
    ]  # fmt: skip
    offers = ranked(barrel(), strips)
    assert {each for offer in offers for each in offer.why_not} == set(get_args(WhyNot)) == set(barrelwords.WHY_NOT)
    said = {sentence for offer in offers for sentence in barrelwords.why_not(offer, barrel())}
    assert "It is 1.4 mm high, the strip in the barrel 1.3 mm." in said


def test_the_first_line_tells_turns_hours_and_torque() -> None:
    assert barrelwords.summary(sums(barrel())) == "8.2 turns, 53 h down to 3.0 N mm."
    too_weak = sums(barrel(least_torque_nmm=9))
    assert barrelwords.summary(too_weak) == "8.2 turns, but the train does not go on them."


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (0.0, "0.00"),
        (3.0, "3.00"),
        (7.4624, "7.46"),
        (-5.63, "-5.63"),
        (0.012345, "0.0123"),
        (74.62, "74.6"),
        (3009.1, "3,009"),
        (1e9, "1,000,000,000"),
    ],
)
def test_a_figure_is_written_to_the_digits_that_count(value: float, said: str) -> None:
    assert barrelwords.digits(value) == said


def test_every_figure_has_its_name() -> None:
    assert tuple(barrelwords.FIGURES) == FIGURES
    said = dict(barrelwords.figures(sums(barrel())))
    assert said["torque at full wind, N mm"] == "7.46"
    assert said["mean bending stress at full wind, MPa"] == "2,894"


@pytest.mark.parametrize(("mistaken", "unit"), MISTAKEN)
def test_a_slip_is_named_as_a_question_of_unit(mistaken: dict[str, Any], unit: str) -> None:
    (slip,) = slips(barrel(**mistaken))
    said = barrelwords.warning(slip)
    assert said.startswith("Perhaps the unit of ")
    assert unit in said


def test_assumptions_stand_beside_the_sums() -> None:
    said = barrelwords.assumptions(barrel(), sums(barrel()))
    assert "Friction between the coils is taken to leave 90 % of the torque throughout." in said
    assert any("0.45 turn less, 7.7 in place of 8.2; for a real barrel 3 to 5 % less is fair" in each for each in said)
    assert any("6.4 in place of 8.2, divides by 2.55" in each for each in said)
    assert any("some 10 % less" in each for each in said)
    assert said[-1] == "The sums guide a choice; torque gauge and run-down decide."


def test_friction_that_was_not_entered_is_said_to_be_left_out() -> None:
    made = barrel(efficiency=1.0)
    assert "Friction between the coils is left out." in barrelwords.assumptions(made, sums(made))


@pytest.mark.parametrize(("arrangement", "adds"), [("series", "their turns add"), ("parallel", "their torques add")])
def test_what_several_barrels_add_is_said(arrangement: str, adds: str) -> None:
    made = barrel(barrels=2, arrangement=arrangement)
    assert any(adds in each for each in barrelwords.assumptions(made, sums(made)))


def test_a_fitted_curve_is_called_so() -> None:
    said = barrelwords.fitted_to(fitted(barrel(), 7.0, 3.6, 8.0))
    assert (
        said
        == "This curve is fitted to two readings of a torque gauge; it is 70 % as steep as the one reckoned without friction."
    )
    steep = barrelwords.fitted_to(fitted(barrel(), 20.0, 10.0, 4.0))
    assert steep.endswith("steeper than the strip explains: measure its thickness and height again.")


def test_what_set_takes_away_is_told() -> None:
    settled = sums(after_set(barrel(least_torque_nmm=2.9), 2500.0))
    assert barrelwords.set_back(sums(barrel(least_torque_nmm=2.9)), settled) == (
        "Above the limit of its alloy the strip sets: at full wind it then gives 6.45 N mm in place of 7.46, and the watch "
        "runs 42.3 h in place of 53.0."
    )
    kept = sums(after_set(barrel(), 3000.0))
    assert (
        barrelwords.set_back(sums(barrel()), kept) == "The strip stays below the limit of its alloy and does not set."
    )
