import pytest

from sensors.kinds import Beats, Boolean, Level, State

LEVEL = Level(upper=0.6, lower=0.3)
BEATS = Beats(vph=18_000, tolerance=0.1, window_s=10)


@pytest.mark.parametrize(("value", "says"), [(1.0, "going"), (0.0, "stopped")])
def test_a_boolean_says_it_outright(value: float, says: State) -> None:
    assert Boolean().sign(value).says == says


@pytest.mark.parametrize(
    ("value", "says"), [(0.61, "going"), (0.6, None), (0.45, None), (0.3, None), (0.29, "stopped"), (-5, "stopped")]
)
def test_a_level_says_going_above_the_upper_and_stopped_below_the_lower(value: float, says: State | None) -> None:
    assert LEVEL.sign(value).says == says


@pytest.mark.parametrize(
    ("count", "says"),
    [
        (50, "going"), (45, "going"), (55, "going"), (25, "going"), (23, "going"), (27, "going"),
        (44, None), (56, None), (22, None), (28, None), (100, None), (6, None), (5, "stopped"), (0, "stopped"),
    ],
)  # fmt: skip
def test_a_count_is_going_near_the_beats_of_its_window_or_half_of_them(count: float, says: State | None) -> None:
    assert BEATS.sign(count).says == says


@pytest.mark.parametrize(
    ("count", "lacking_s"), [(50, (0, 0)), (55, (0, 0)), (45, (1, 1)), (25, (0, 5)), (24, (0.4, 5.2))]
)
def test_beats_that_lack_may_be_those_after_a_stop(count: float, lacking_s: tuple[float, float]) -> None:
    sign = BEATS.sign(count)
    assert (sign.least_s, sign.most_s) == pytest.approx(lacking_s)
