"""Barrel sums in words: every refusal, warning and slip has its one sentence."""

from collections.abc import Callable
from typing import Any, get_args

import pytest

from tests.core.barrel.drums import barrel
from tests.core.barrel.test_cautions import WARNED
from tests.core.barrel.test_checked import REFUSED
from tests.core.barrel.test_slips import MISTAKEN
from tracker import barrelwords
from tracker.barrelwords import BadStrip
from tracker.core.barrel import train, whatif
from tracker.core.barrel.cautions import Kind
from tracker.core.barrel.checked import RANGES, Why, check
from tracker.core.barrel.entered import Barrel
from tracker.core.barrel.fit import WhyNot, ranked
from tracker.core.barrel.gauge import fitted
from tracker.core.barrel.line import Strip, strip_of
from tracker.core.barrel.settled import after_set
from tracker.core.barrel.slips import slips
from tracker.core.barrel.sums import sums
from tracker.core.barrel.whatif import Assumed

SAID: list[tuple[dict[str, Any], str]] = [
    ({"length_mm": float("nan")}, "A number is expected for the strip's length."),
    ({"length_mm": -3}, "A number above 0 is expected for the strip's length, not -3."),
    ({"least_torque_nmm": -1}, "A number from 0 on is expected for the least torque of the train, not -1."),
    ({"efficiency": 1.5}, "A number above 0 and up to 1 is expected for the efficiency, not 1.5."),
    ({"hours_per_turn": 1e7}, "A number from 1e-06 to 1,000,000 is expected for the number of hours a turn, not 1e+07."),
    ({"barrels": 1.5}, "A whole number is expected for the number of barrels, not 1.5."),
    ({"arrangement": "beside"}, "Barrels act in “series” or in “parallel”."),
    ({"arbor_diameter_mm": 12}, "An arbor of 12 mm does not go into a drum of 11 mm."),
    (
        {"thickness_mm": 11.5},
        "A strip 11.5 mm thick does not go into the 3.8 mm between arbor and wall; perhaps the unit of the strip's thickness is hundredths of a millimetre: 0.115 mm would be usual.",
    ),
    ({"length_mm": 800}, "A strip of 800 mm leaves no room to turn: 747.4 mm would fill the drum."),
]  # fmt: skip
CAUTIONED: list[tuple[dict[str, Any], str]] = [
    ({"thickness_mm": 0.23, "length_mm": 187}, "The arbor's radius is 7.4 thicknesses of the strip; under 7.5 a spring may break."),
    ({"thickness_mm": 0.18, "length_mm": 240}, "The arbor's radius is 9.4 thicknesses of the strip; under 10 a spring may set."),
    ({"thickness_mm": 0.1, "length_mm": 430, "least_torque_nmm": 1}, "The arbor's radius is 17.0 thicknesses of the strip; over 16 it takes room from the strip."),
    ({"length_mm": 225}, "The strip takes 30 % of the room; under 40 % turns are given away."),
    ({"length_mm": 523}, "The strip takes 70 % of the room; over 60 % turns are given away."),
    ({"height_mm": 0.3, "least_torque_nmm": 0}, "The strip's height is 2.6 thicknesses; under 3 a strip may twist."),
    ({"modulus_gpa": 1500}, "No metal has a modulus of 1,500 GPa; is the figure in GPa?"),
    ({"free_turns": 25}, "Out of the drum the strip has 25 turns, on the arbor 19.7; so it gives no torque."),
    ({"least_torque_nmm": 9}, "At full wind the train gets 7.5 N mm where it wants 9; so it does not go."),
]  # fmt: skip


@pytest.mark.parametrize(("wrong", "sentence"), SAID)
def test_a_refusal_is_one_sentence(wrong: dict[str, Any], sentence: str) -> None:
    with pytest.raises(barrelwords.BadBarrel) as refused, barrelwords.in_words():
        check(barrel(**wrong))
    assert refused.value.sentence == sentence
    assert (refused.value.status, refused.value.exit_code) == (422, 2)


@pytest.mark.parametrize(("other", "sentence"), CAUTIONED)
def test_a_warning_is_one_sentence(other: dict[str, Any], sentence: str) -> None:
    assert [barrelwords.warning(each) for each in sums(barrel(**other)).warnings] == [sentence]


def test_a_long_strip_is_warned_of() -> None:
    found = sums(barrel(thickness_mm=0.05, length_mm=760, least_torque_nmm=0)).warnings
    assert "The strip is 15,200 thicknesses long; over 15,000 friction between the coils tells." in map(
        barrelwords.warning, found
    )


def test_every_refusal_and_warning_has_its_words() -> None:
    by_gauge = {"torque does not fall", "more turns than there are"}
    assert set(barrelwords.REFUSED) == set(get_args(Why)) == {why for _, why, _ in REFUSED} | by_gauge
    assert set(barrelwords.CAUTIONS) == set(get_args(Kind)) == {kind for _, kinds in WARNED for kind in kinds}
    assert set(barrelwords.FIELDS) >= {*RANGES, "arrangement"} == set(Barrel.__slots__)


@pytest.mark.parametrize(
    ("readings", "sentence"),
    [
        ((7.0, 7.5, 2.0), "After some turns the gauge must show less than at full wind, not 7.5 N mm where it was 7."),
        ((7.0, 5.0, 9.0), "Between the readings lie 9 turns, but the barrel has only 8.2."),
        ((0.0, 5.0, 2.0), "A number above 0 is expected for the reading at full wind, not 0."),
    ],
)
def test_readings_of_a_gauge_that_fix_no_curve_are_refused_in_one_sentence(
    readings: tuple[float, float, float], sentence: str
) -> None:
    with pytest.raises(barrelwords.BadBarrel) as refused, barrelwords.in_words():
        fitted(barrel(), *readings)
    assert refused.value.sentence == sentence


@pytest.mark.parametrize(
    "asked",
    [
        lambda: train.hours_from_teeth(0, 10),
        lambda: train.hours_from_teeth(80, 0),
        lambda: train.hours_from_teeth(80, 10, 0),
        lambda: train.hours_from_count(0, 42),
        lambda: train.hours_from_count(7, 0),
        lambda: after_set(barrel(), 0),
        lambda: fitted(barrel(), 7, 5, 0),
        lambda: whatif.at_beat(barrel(), 0, 1),
        lambda: whatif.at_beat(barrel(), 1, 0),
        lambda: whatif.with_train(barrel(), 0),
    ],
)
def test_every_figure_that_is_asked_for_is_named_when_it_is_refused(asked: Callable[[], object]) -> None:
    with pytest.raises(barrelwords.BadBarrel) as refused, barrelwords.in_words():
        asked()
    assert (
        refused.value.sentence == f"A number above 0 is expected for {barrelwords.FIELDS[refused.value.field]}, not 0."
    )


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
        Strip(1.4, 0.115, 350.0, 13.0), Strip(1.3, 4.0, 10.0), Strip(1.3, 0.115, 800.0), Strip(1.3, 0.08, 500.0), Strip(0.0, 1.0, 1.0)
    ]  # fmt: skip
    offers = ranked(barrel(), strips)
    assert {each for offer in offers for each in offer.why_not} == set(get_args(WhyNot)) == set(barrelwords.WHY_NOT)
    said = {sentence for offer in offers for sentence in barrelwords.why_not(offer, barrel())}
    assert {"It is sold for a barrel of 13 mm.", "It is 1.4 mm high, the strip in the barrel 1.3 mm."} < said


@pytest.mark.parametrize(
    ("line", "what"),
    [
        ("1.30 × 350", "“1.30 × 350” is not a spring."),
        ("1.3 × thin × 350 × 11", "“thin” is not a number of millimetres."),
    ],
)
def test_a_line_that_is_no_spring_is_refused(line: str, what: str) -> None:
    with pytest.raises(BadStrip) as refused, barrelwords.in_words():
        strip_of(line)
    assert refused.value.sentence == f"{what} Give height × thickness × length × barrel in mm: 1.30 × 0.115 × 350 × 11."


@pytest.mark.parametrize(("mistaken", "unit"), MISTAKEN)
def test_a_slip_is_named_as_a_question_of_unit(mistaken: dict[str, Any], unit: str) -> None:
    (slip,) = slips(barrel(**mistaken))
    said = barrelwords.warning(slip)
    assert said.startswith("Perhaps the unit of ")
    assert unit in said


def test_assumptions_stand_beside_the_sums() -> None:
    said = barrelwords.assumptions(barrel(), sums(barrel()))
    assert "Friction between the coils is taken to leave 90 % of the torque throughout." in said
    assert any("0.45 turn less: 7.7 in place of 8.2" in each for each in said)
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
