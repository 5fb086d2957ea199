"""Signs of a fault: from the log, from readings, from the bench; and that they find the part in barrels that fail."""

import random
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import pytest

from tracker.core.barrel.entered import Barrel
from tracker.core.barrel.sums import sums
from tracker.core.barrel.torque import torque_nmm
from tracker.core.faults import Belief, Fault, Kind, Sign, odds
from tracker.core.timing import Reading
from tracker.core.watch import Watch
from tracker.faultsigns import belief_of, kind_of, signs_of

AT = datetime(2026, 11, 2, 9, tzinfo=UTC)
GOOD = Barrel(
    drum_diameter_mm=11.0, arbor_diameter_mm=3.4, thickness_mm=0.115, height_mm=1.3, length_mm=350.0, modulus_gpa=205.0,
    free_turns=6.0, efficiency=0.9, hours_per_turn=6.5, least_torque_nmm=5.0,
)  # fmt: skip
CROWN = 4.0
"""Turns of the crown for one of the barrel."""


def measured(barrel: Barrel, slipped: float = 0.0) -> dict[Sign, float]:
    """What a bench would count of this barrel whose spring lets go so many turns before it is full."""
    found = sums(barrel)
    full, wall = float(found.coils_wound) - slipped, float(found.coils_unwound)
    stop = float(found.coils_wound) - float(found.usable_turns)
    return {
        "run-down": (full - stop) * float(barrel.hours_per_turn),
        "turns from stopped": CROWN * (full - stop),
        "turns from let down": CROWN * (full - wall),
        "turns left": stop - wall,
        "torque at equal turns": float(torque_nmm(barrel, wall + 4.0)),
    }


def beliefs(now: dict[Sign, float], then: dict[Sign, float], throws: random.Random) -> dict[Sign, Belief]:
    told = {sign: now[sign] * throws.gauss(1.0, 0.015) for sign in now}
    found: dict[Sign, Belief] = {
        sign: belief_of(sign, "", told[sign], then[sign]) for sign in told if sign != "run-down"
    }
    return {**found, "run-down": {"shorter": 1.0} if told["run-down"] < 0.95 * then["run-down"] else {"same": 1.0}}


@pytest.mark.parametrize("fault", ["spring set", "slips early", "friction in the train", "nothing amiss"])
def test_signs_of_a_barrel_that_fails_find_the_part(fault: Fault) -> None:
    throws, right = random.Random(f"sums/{fault}"), 0
    for _ in range(100):
        good = replace(
            GOOD,
            length_mm=350.0 * throws.uniform(0.93, 1.07),
            least_torque_nmm=throws.uniform(4.0, 6.0),
            free_turns=throws.uniform(4.0, 6.5),
        )
        bad = {
            "spring set": (replace(good, free_turns=float(good.free_turns) + throws.uniform(1.0, 1.8)), 0.0),
            "slips early": (good, throws.uniform(0.8, 1.6)),
            "friction in the train": (
                replace(good, least_torque_nmm=float(good.least_torque_nmm) * throws.uniform(1.3, 1.6)),
                0.0,
            ),
            "nothing amiss": (good, 0.0),
        }[fault]
        found = odds(beliefs(measured(*bad), measured(good), throws), Kind(rotor=True))
        right += next(iter(found)) == fault
    assert right >= 90


def test_without_the_telling_signs_set_and_slip_stay_equal() -> None:
    good, throws = measured(GOOD), random.Random(3)
    bad = beliefs(measured(replace(GOOD, free_turns=7.4)), good, throws)
    found = odds({sign: bad[sign] for sign in ("run-down", "turns from stopped")}, Kind(rotor=True))
    assert found["spring set"] == pytest.approx(found["slips early"])


def reading(minutes: float, amplitude: float, **told: Any) -> Reading:
    fields = {"occasion": "in between", "lift_assumed": False, "rate_s_per_day": 4.0, **told}
    return Reading(
        uid=f"{minutes}{told}", at=AT, position="CH", since_wind_min=minutes, amplitude_deg=amplitude, **fields
    )


def test_an_amplitude_is_low_beside_that_after_the_service_or_the_usual() -> None:
    after = [reading(1440, 255.0, occasion="after service")]
    late = [reading(1440, 225.0) for _ in range(1)]
    newest = [replace(each, at=datetime(2026, 11, 20, tzinfo=UTC)) for each in late]
    found = signs_of(None, [*after, *newest], [], [])
    assert found["amplitude after 24 h"].belief["lower"] > 0.95
    alone = signs_of(None, newest, [], [])
    assert alone["amplitude after 24 h"].belief["lower"] < 0.5
    assert signs_of(None, [reading(30, 280.0)], [], [])["rate"].belief == {"usual": 1.0}


def test_an_amplitude_of_an_assumed_lift_angle_is_no_sign() -> None:
    assert set(signs_of(None, [reading(1440, 150.0, lift_assumed=True)], [], [])) == set()


def test_what_the_bench_noted_stands_above() -> None:
    row = {"sign": "rate", "word": "very large", "figure": None, "expected": None}
    assert signs_of(None, [reading(30, 280.0)], [], [row])["rate"].source == "noted at the bench"


@pytest.mark.parametrize(("alloy", "white"), [("", False), ("blued steel", False), ("cobalt alloy, white", True)])
def test_an_alloy_counts_as_its_words_say(alloy: str, white: bool) -> None:  # noqa: FBT001 -- what is expected
    watch = Watch(uid="a", nickname="Night ferry", wound_by="crown and rotor")
    assert kind_of(watch, alloy).white_alloy == white
    assert kind_of(watch).rotor
