import math
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from itertools import pairwise
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.core.benchhours import BenchHours, possible_looks
from tracker.core.benchlooks import (
    NOT_TOLD_LOOKS,
    WAIT_LOOKS_AN_HOUR,
    WORTH_LOOKS,
    HandsTell,
    LookPlan,
    TestRun,
    going,
    likely_h,
    plan_looks,
    read_width_h,
)
from tracker.core.curve import Curve
from tracker.core.evidence import exact
from tracker.core.likelihood import Run
from tracker.core.prior import prior_for
from tracker.core.reserve import estimate

BERLIN = ZoneInfo("Europe/Berlin")
NINE = datetime(2026, 11, 23, 8, tzinfo=UTC)
"""A Monday, 09:00 in Berlin."""
HOUR = timedelta(hours=1)
READ = HandsTell(clock_h=9.0)
WAYS = [None, READ, HandsTell(24, clock_h=9.0), HandsTell(dated=True, clock_h=9.0)]
IDS = ["no hands", "12 h", "24 h", "12 h and a date"]


@lru_cache(maxsize=8)
def curve(stated_h: float, ends: int = 0) -> Curve:
    """How long a clean run lasts: by the stated figure alone, or with so many ends near 40 h seen."""
    runs = tuple(Run(0.1 * place, exact(40.0 + 0.5 * (place % 3))) for place in range(ends))
    return estimate(runs, prior_for(stated_h), now_years=0.6).next_run


def run(stated_h: float = 42.0, ends: int = 0, seen_h: float = 0.0, hands: HandsTell | None = READ) -> TestRun:
    return TestRun(curve(stated_h, ends), stated_h, seen_h, hands)


def possible(test: TestRun, start: datetime = NINE) -> tuple[float, ...]:
    """The moments within the usual hours, as hours since the wind."""
    after, until = start + test.seen_h * HOUR, start + (likely_h(test)[1] + 72.0) * HOUR
    return tuple((each - start) / HOUR for each in possible_looks(BenchHours(), after, until, BERLIN))


def planned(test: TestRun, start: datetime = NINE) -> LookPlan:
    found = plan_looks(test, possible(test, start))
    assert found is not None
    return found


def hours(plan: LookPlan) -> list[float]:
    return [each.hours for each in plan.looks]


def cost(test: TestRun, looks: Sequence[float]) -> float:
    """What looks at these hours take on average, counted stop by stop."""
    at = [test.seen_h, *looks]
    edges = np.linspace(test.seen_h, at[-1], 240)
    shares, total = going(test, edges), 0.0
    for early, late, share in zip(edges, edges[1:], shares[:-1] - shares[1:], strict=False):
        stopped_h = (early + late) / 2
        last = next(place for place, look in enumerate(at) if look >= stopped_h)
        width = read_width_h(test, stopped_h, at[last - 1], at[last])
        doublings = math.log2(max(width, test.goal_h) / test.goal_h)
        total += share * (last + WAIT_LOOKS_AN_HOUR * (at[last] - test.seen_h) + WORTH_LOOKS * doublings)
    left = float(going(test, np.array([at[-1]]))[0])
    return total + left * (len(looks) + WAIT_LOOKS_AN_HOUR * (at[-1] - test.seen_h) + NOT_TOLD_LOOKS)


def test_of_a_watch_that_is_known_one_look_the_morning_after_it_must_have_stopped_is_enough() -> None:
    found = planned(run(ends=5))
    # Wound on Monday at 09:00, it stops early on Wednesday: one look then at 08:00, its hands read.
    assert hours(found)[0] == pytest.approx(47.0)
    assert found.expected < 1.05
    assert found.met > 0.9


def test_of_one_that_only_its_maker_tells_of_a_look_in_between_settles_which_round_it_was() -> None:
    found = planned(run())
    assert 30.0 < hours(found)[0] < 42.0 < hours(found)[1] < 60.0
    assert found.met > 0.9


def test_on_a_dial_of_24_hours_that_look_is_saved() -> None:
    assert planned(run(hands=HandsTell(24, clock_h=9.0))).expected < planned(run()).expected - 0.5


def test_without_hands_it_is_looked_at_while_it_is_likely_to_stop() -> None:
    found = planned(run(hands=None))
    assert len(hours(found)) > len(hours(planned(run())))
    assert found.met < planned(run()).met


@pytest.mark.parametrize("hands", WAYS, ids=IDS)
@pytest.mark.parametrize("ends", [0, 5])
def test_the_plan_takes_no_more_than_simpler_rules(ends: int, hands: HandsTell | None) -> None:
    test = run(ends=ends, hands=hands)
    every = possible(test)
    mornings = [each for each in every if (each + 9.0) % 24.0 == 8.0]
    last = [each for each in every if each >= likely_h(test)[1]][:1]
    every_other_hour = [each for place, each in enumerate(every) if place % 2 == 0 and each < last[0]] + last
    at_stated = [next(each for each in every if each >= test.scale_h), *last]
    after_two_nights = [each for each in mornings if 36.0 <= each < last[0]] + last
    own = cost(test, hours(planned(test)))
    assert own <= min(cost(test, rule) for rule in (every_other_hour, at_stated, after_two_nights)) + 0.1


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_no_other_looks_take_less(data: st.DataObject) -> None:
    test = run(ends=data.draw(st.sampled_from([0, 5])), hands=data.draw(st.sampled_from(WAYS)))
    found = planned(test)
    inside = [each for each in possible(test) if each < hours(found)[-1]]
    other = data.draw(st.lists(st.sampled_from(inside), unique=True, max_size=6))
    assert cost(test, hours(found)) <= cost(test, [*sorted(other), hours(found)[-1]]) + 0.1


@settings(max_examples=80, deadline=None)
@given(
    st.sampled_from([30.0, 42.0, 72.0, 192.0]),
    st.floats(0.0, 1.6),
    st.sampled_from(WAYS),
    st.integers(0, 23),
)
def test_looks_lie_ahead_among_those_that_are_possible_and_end_when_it_must_have_stopped(
    stated_h: float, seen: float, hands: HandsTell | None, hour: int
) -> None:
    test = run(stated_h, seen_h=seen * stated_h, hands=hands)
    start = NINE + hour * HOUR
    found, every = planned(test, start), possible(test, start)
    at = [test.seen_h, *hours(found)]
    assert set(hours(found)) <= set(every)
    assert all(early < late for early, late in pairwise(at))
    assert all(each < likely_h(test)[1] for each in at[1:-1])
    assert found.looks[-1].stopped > 0.99
    assert [each.stopped for each in found.looks] == sorted(each.stopped for each in found.looks)
    assert found.expected >= 1.0 - 1e-9
    assert 0.0 <= found.met <= 1.0 + 1e-9


def test_where_nobody_comes_there_is_no_plan() -> None:
    assert plan_looks(run(), ()) is None
    assert plan_looks(run(seen_h=40.0), (12.0, 40.0)) is None


def test_a_watch_that_does_not_stop_on_time_is_looked_at_on() -> None:
    found = planned(run(ends=5, seen_h=60.0))
    assert hours(found)[0] > 60.0


@pytest.mark.parametrize(
    ("seen_h", "look_h", "hands", "width_h"),
    [
        (0.0, 47.0, READ, 0.4),  # 28 h or 40 h: known watches run no 28 h
        (36.0, 40.5, None, 4.5),
        (0.0, 47.0, HandsTell(24), 0.4),
    ],
)
def test_hands_tell_a_stop_to_minutes_and_looks_to_their_distance(
    seen_h: float, look_h: float, hands: HandsTell | None, width_h: float
) -> None:
    assert read_width_h(run(ends=5, hands=hands), 40.2, seen_h, look_h) == pytest.approx(width_h, abs=0.1)


def test_where_two_rounds_are_as_likely_the_hands_leave_both() -> None:
    assert read_width_h(run(), 36.0, 0.0, 60.0) > 12.0
    assert read_width_h(run(hands=HandsTell(dated=True, clock_h=0.0)), 47.0, 0.0, 60.0) > 12.0
