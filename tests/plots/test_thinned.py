from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from tracker.plots.thinned import thinned

GAP_S = 180.0


@st.composite
def readings(draw: st.DrawFn) -> tuple[list[float], list[float]]:
    count = draw(st.integers(0, 3_000))
    seed = draw(st.randoms(use_true_random=False))
    at_s, values, now_s = [], [], 0.0
    for _ in range(count):
        now_s += seed.choice([60.0] * 50 + [3_600.0])
        at_s.append(now_s)
        values.append(seed.choice([0.0, 1.0, seed.uniform(-5, 5)]))
    return at_s, values


@given(readings())
def test_extremes_ends_and_gaps_are_kept(drawn: tuple[list[float], list[float]]) -> None:
    at_s, values = drawn
    times, levels = thinned(at_s, values, GAP_S, buckets=50)
    drawn_levels = [level for level in levels if level is not None]
    assert times == sorted(times)
    pairs = {*zip(at_s, values, strict=True)}
    assert all((time, level) in pairs for time, level in zip(times, levels, strict=True) if level is not None)
    if at_s:
        assert (min(drawn_levels), max(drawn_levels)) == (min(values), max(values))
        assert (times[0], times[-1]) == (at_s[0], at_s[-1])
    gaps = sum(after - before > GAP_S for before, after in pairwise(at_s))
    assert levels.count(None) == gaps


def test_a_year_of_readings_is_few_points_and_a_bump_of_one_minute_is_seen() -> None:
    at_s = [60.0 * minute for minute in range(525_600)]
    values = [0.0] * len(at_s)
    values[300_000] = 1.0
    times, levels = thinned(at_s, values, GAP_S)
    assert len(times) <= 4 * 400
    assert levels.count(1.0) == 1
