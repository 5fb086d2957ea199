"""Timing readings in words."""

import pytest

from tracker import readingphrases
from tracker.core.chronometer import seven_figures
from tracker.core.timing import Figure, State, Summary

NOTHING = State(
    mean_rate=None, spread=None, flat_hang=None, flat_amplitude=None, hanging_amplitude=None, beat_error=None
)


def state(amplitude: Figure | None) -> State:
    return State(
        mean_rate=None, spread=None, flat_hang=None, flat_amplitude=amplitude, hanging_amplitude=None, beat_error=None
    )


@pytest.mark.parametrize(("seconds", "told"), [(4.24, "+4.2 s a day"), (-3.0, "−3 s a day"), (-0.04, "0 s a day")])
def test_a_rate_has_its_sign(seconds: float, told: str) -> None:
    assert readingphrases.rate(seconds) == told


def test_a_figure_tells_what_stands_behind_it() -> None:
    assert readingphrases.amplitude(Figure(287.6, 2, assumed=True)) == "288° (2 readings; lift angle assumed)"
    assert readingphrases.seconds(Figure(1.0, 1)) == "+1 s a day (1 reading)"
    assert readingphrases.seconds(None) == "too few positions read"


def test_a_low_amplitude_is_judged_only_with_its_lift_angle() -> None:
    low = Figure(205.0, 2)
    assert readingphrases.judged(Summary(NOTHING, state(low), None)) == ["After 24 h it should not be under 220°."]
    assumed = Figure(205.0, 2, assumed=True)
    told = readingphrases.judged(Summary(NOTHING, state(assumed), None))
    assert told == ["Its lift angle is assumed: no finding is drawn from such an amplitude."]


def test_what_a_criterion_lacks_is_named() -> None:
    resumption = seven_figures({1: 1.0, 2: 2.0})[-1]
    assert readingphrases.value(resumption) == "not yet: days missing: 15"
    assert readingphrases.limits(resumption) == ["−5 to +5", "−6 to +6"]
    assert readingphrases.within(resumption) == ["not yet known", "not yet known"]
