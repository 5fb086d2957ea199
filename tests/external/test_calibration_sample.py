"""A sample of `make soak`: a few simulated watches of every habit, with fixed seeds, held to bounds as wide as so few allow."""

import math
import random

import pytest

from tests.soak.evaluate import Record, lived, segment_then
from tests.soak.figures import raised
from tests.soak.goals import HANDS, ROTATES, SENSOR
from tests.soak.life import HABITS, START, YEAR, Life
from tests.soak.owner import WATCH
from tests.soak.truth import draw
from tracker.core.heldback import Foreseen
from tracker.core.likelihood import Run
from tracker.core.rundown import run_downs

ASKED = (0.5, 1.5, 2.5)
SEEDS = ("sample-1", "sample-2")


@pytest.fixture(scope="module")
def sample() -> list[Record]:
    return [lived(seed, habit, "stable", when=ASKED) for habit in HABITS for seed in SEEDS]


def _asked(sample: list[Record], *habits: str) -> list[Record]:
    return [ask for record in sample if record["habit"] in (habits or HABITS) for ask in record["asked"]]


def test_the_band_holds_the_true_median_about_nine_times_in_ten(sample: list[Record]) -> None:
    held = [ask["low"] <= 1.0 <= ask["high"] for ask in _asked(sample)]
    assert sum(held) / len(held) >= 0.8


@pytest.mark.parametrize(("at", "most"), [(0, 0.03), (1, 0.08), (2, 0.14)], ids=["1 %", "5 %", "10 %"])
def test_clean_runs_stop_before_the_wind_by_as_rarely_as_said(sample: list[Record], at: int, most: float) -> None:
    stops = [ask["stops"][at] for ask in _asked(sample)]
    assert 0.0 < sum(stops) / len(stops) <= most


def test_hands_and_sensor_tell_the_median_to_a_few_hundredths(sample: list[Record]) -> None:
    assert all(abs(ask["mid"] - 1.0) < 0.06 for ask in _asked(sample, HANDS, SENSOR))


def test_no_cue_is_raised_on_a_stable_watch(sample: list[Record]) -> None:
    assert [record["habit"] for record in sample if raised(record)] == []


@pytest.mark.parametrize("habit", [SENSOR, HANDS, ROTATES])
def test_a_quarter_lost_at_once_is_seen_within_a_year(habit: str) -> None:
    after = lived("sample-3", habit, "drop of 25 %", when=(4.0,))
    assert raised(after)


def nothing_too_long(_runs: tuple[Run, ...], _age_years: float) -> Foreseen:
    return Foreseen(math.inf, math.inf)


def test_what_was_known_then_is_what_the_log_then_told() -> None:
    throws = random.Random(4)
    life = Life(draw("stable", "none", throws), throws, reads=True)
    HABITS[HANDS](life, 120)
    then = START + 0.2 * YEAR
    whole = segment_then(run_downs(WATCH, life.entries), then, nothing_too_long)
    early = segment_then(run_downs(WATCH, [note for note in life.entries if note.at <= then]), then, nothing_too_long)
    assert whole.runs == early.runs
    assert whole.runs
