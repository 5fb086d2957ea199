"""Odds of faults: what the log alone can't tell, what parts the faults, and that the odds mean what they say."""

import math
import random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.core.faults import (
    FAULTS,
    SIGNS,
    WORDS,
    Kind,
    Sign,
    compared,
    higher,
    likely,
    lower,
    moved,
    next_looks,
    odds,
    possible,
    sure,
)

ROTOR = Kind(rotor=True, calendar=True)
LOG_ALONE: tuple[Sign, ...] = ("run-down", "turns from stopped", "amplitude full", "amplitude after 24 h")
SIGNS_READ = st.dictionaries(st.sampled_from(SIGNS), st.integers(0, 2), max_size=len(SIGNS))


def read(drawn: dict[Sign, int]) -> dict[Sign, Any]:
    return {sign: sure(WORDS[sign][number % len(WORDS[sign])]) for sign, number in drawn.items()}


@given(st.dictionaries(st.sampled_from(LOG_ALONE), st.integers(0, 2)))
def test_the_log_alone_never_tells_a_set_spring_from_an_early_slip(drawn: dict[Sign, int]) -> None:
    found, before = odds(read(drawn), ROTOR), possible(ROTOR)
    assert found["spring set"] / found["slips early"] == pytest.approx(before["spring set"] / before["slips early"])


@pytest.mark.parametrize(
    ("sign", "word", "likelier"),
    [
        ("turns left", "more", "spring set"),
        ("turns left", "same", "slips early"),
        ("turns from let down", "fewer", "slips early"),
        ("torque at equal turns", "lower", "spring set"),
        ("amplitude at equal turns", "lower", "spring set"),
        ("came", "after service", "slips early"),
        ("came", "slowly", "spring set"),
    ],
)
def test_what_parts_the_two(sign: Sign, word: str, likelier: str) -> None:
    found = odds({"run-down": sure("shorter"), sign: sure(word)}, ROTOR)
    other = "slips early" if likelier == "spring set" else "spring set"
    assert found[likelier] > 3 * found[other]  # type: ignore[index]


def test_a_gauge_tells_a_set_spring_from_friction() -> None:
    short: dict[Sign, Any] = {"run-down": sure("shorter"), "turns left": sure("more")}
    weak = odds({**short, "torque at equal turns": sure("lower")}, ROTOR)
    good = odds({**short, "torque at equal turns": sure("same")}, ROTOR)
    assert weak["spring set"] > weak["friction in the train"]
    assert good["friction in the train"] > 5 * good["spring set"]


@given(SIGNS_READ, st.randoms())
def test_the_order_of_signs_does_not_matter_and_odds_sum_to_one(drawn: dict[Sign, int], throws: random.Random) -> None:
    signs = list(read(drawn).items())
    found = odds(dict(signs), ROTOR)
    throws.shuffle(signs)
    assert odds(dict(signs), ROTOR) == pytest.approx(found)
    assert sum(found.values()) == pytest.approx(1.0)


@given(SIGNS_READ)
def test_a_sign_that_tells_nothing_moves_nothing(drawn: dict[Sign, int]) -> None:
    signs = read({sign: number for sign, number in drawn.items() if sign != "turns left"})
    unsure = dict.fromkeys(WORDS["turns left"], 0.5)
    assert odds({**signs, "turns left": unsure}, ROTOR) == pytest.approx(odds(signs, ROTOR))
    assert odds({**signs, "turns left": sure("more")}, ROTOR) != pytest.approx(odds(signs, ROTOR), rel=1e-6)


def test_nothing_entered_leaves_the_prior() -> None:
    assert odds({}, ROTOR) == pytest.approx(possible(ROTOR))


def test_words_of_a_sign_have_probabilities() -> None:
    for fault in FAULTS:
        for sign in SIGNS:
            assert math.fsum(likely(sign, word, fault) for word in WORDS[sign]) == pytest.approx(1.0)


def test_by_kind() -> None:
    assert "too little wear" not in possible(Kind())
    assert "loaded by the calendar" not in possible(Kind(rotor=True))
    assert possible(Kind(white_alloy=True))["spring set"] < possible(Kind())["spring set"]


def test_a_figure_counts_by_how_sure_it_is() -> None:
    clear, near = compared(24.0, 31.0, 1.0, 2.0), compared(29.0, 31.0, 1.0, 2.0)
    assert clear["fewer"] > 0.99
    assert near["fewer"] == pytest.approx(0.5, abs=0.01)
    assert sum(near.values()) == pytest.approx(1.0)
    assert lower(250.0, 280.0, 5.0, 10.0)["lower"] > 0.99
    assert higher(3.0, 1.0, 0.3, 0.5)["more"] > 0.99
    assert higher(0.0, 1.0, 0.3, 0.5)["same"] > 0.99


def test_the_most_telling_look_at_a_short_run_parts_what_the_log_cannot() -> None:
    signs = {
        sign: sure({"run-down": "shorter", "turns from stopped": "fewer"}.get(sign, "lower")) for sign in LOG_ALONE
    }
    first = next_looks(signs, Kind())[0]
    assert first.sign in {"turns left", "came", "turns from let down", "amplitude at equal turns"}
    assert first.bits > 0.1
    assert {each.sign for each in next_looks(signs, Kind())} == {*SIGNS} - {*signs}


def test_which_sign_moved_what() -> None:
    told = moved({"run-down": sure("shorter"), "turns from let down": sure("fewer")}, Kind(), "slips early")
    assert told["turns from let down"] > 2
    assert told["run-down"] > 1


def test_odds_mean_what_they_say() -> None:
    """Faults drawn by the prior, signs by the likelihoods: of those told with 70 to 90 %, 70 to 90 % are so."""
    throws, kind = random.Random(11), ROTOR
    before = possible(kind)
    told = right = expected = 0.0
    for _ in range(4000):
        fault = throws.choices(list(before), list(before.values()))[0]
        some = throws.sample(SIGNS, 6)
        signs = {
            sign: sure(throws.choices(WORDS[sign], [likely(sign, word, fault) for word in WORDS[sign]])[0])
            for sign in some
        }
        first, share = next(iter(odds(signs, kind).items()))
        if 0.7 <= share < 0.9:
            told, right, expected = told + 1, right + (first == fault), expected + share
    assert told > 300
    assert right / told == pytest.approx(expected / told, abs=3 * math.sqrt(0.2 * 0.8 / told))
