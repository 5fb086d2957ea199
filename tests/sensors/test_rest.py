from itertools import pairwise
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sensors.kinds import Beats, Boolean, Kind, Level
from sensors.rest import BEGIN, Course, Found, Setup, Span, Stop, Unlike, advance, fold, tail
from tests.sensors.watchlife import EXPECTED_S, SHORTEST_S, Truth, live, sent

SETUP = Setup(Boolean(), EXPECTED_S)
Readings = list[tuple[float, float]]


def minutes(signs: str) -> tuple[list[Found], Span | None]:
    """What one sign a minute gives: G going, S stopped, dot nothing; times in minutes."""
    values = {"G": 1.0, "S": 0.0}
    course, found = fold(SETUP, [(60.0 * at, values[sign]) for at, sign in enumerate(signs) if sign != "."])
    last = tail(SETUP, course, course.heard_s or 0.0)
    return [in_minutes(each) for each in found], last and last._replace(from_s=last.from_s / 60, to_s=last.to_s / 60)


def in_minutes(found: Found) -> Found:
    if isinstance(found, Span):
        return found._replace(from_s=found.from_s / 60, to_s=found.to_s / 60)
    if isinstance(found, Stop):
        return Stop(found.after_s / 60, found.before_s / 60)
    return found._replace(at_s=found.at_s / 60)


@pytest.mark.parametrize(
    ("signs", "found", "last"),
    [
        ("", [], None),
        ("GG", [], None),
        ("GGG", [], Span("going", 0, 2, "open")),
        ("GGGSSS", [Span("going", 0, 2, "stopped"), Stop(2, 3)], Span("stopped", 3, 5, "open")),
        ("SSSGGG", [Span("stopped", 0, 2, "going")], Span("going", 3, 5, "open")),
        ("GGGGSS", [], Span("going", 0, 3, "open")),
    ],
)
def test_a_change_counts_once_it_has_held(signs: str, found: list[Found], last: Span | None) -> None:
    assert minutes(signs) == (found, last)


def test_a_change_must_hold_for_the_time_as_well_as_for_the_readings() -> None:
    quick = [(10.0 * at, 1.0 if at < 20 else 0.0) for at in range(32)]
    assert fold(SETUP, quick)[1] == []
    assert fold(SETUP, [*quick, (320.0, 0.0)])[1] == [Span("going", 0, 190, "stopped"), Stop(190, 200)]


def test_a_stopped_watch_that_is_knocked_has_not_been_going() -> None:
    assert minutes("SSSGGSSSS") == ([], Span("stopped", 0, 8, "open"))
    assert minutes("GSSS") == ([], Span("stopped", 1, 3, "open"))


def test_a_knock_just_after_the_stop_leaves_the_stop_where_it_may_have_been() -> None:
    assert minutes("GGGSGSSS") == ([Span("going", 0, 2, "stopped"), Stop(2, 5)], Span("stopped", 5, 7, "open"))


def test_a_going_watch_unheard_for_a_reading_goes_on() -> None:
    assert minutes("GGGSGGG") == ([], Span("going", 0, 6, "open"))


def test_a_gap_is_never_a_stop() -> None:
    assert minutes("GGG....GGG") == ([Span("going", 0, 2, "unknown")], Span("going", 7, 9, "open"))


def test_silence_of_three_intervals_is_no_gap_yet() -> None:
    assert minutes("GGG..GGG") == ([], Span("going", 0, 7, "open"))


def test_stopped_after_a_gap_it_stopped_somewhere_in_it() -> None:
    found, last = minutes("GGG....SSS")
    assert found == [Span("going", 0, 2, "unknown"), Stop(2, 7)]
    assert last == Span("stopped", 7, 9, "open")


@pytest.mark.parametrize(
    ("signs", "stops"),
    [
        ("GGG....SGGG", []),
        ("GGG....GSSS", [Stop(2, 8)]),
        ("GGG....S....SSS", [Stop(2, 12)]),
        ("GGG....SS", []),
        ("GGG....GGG....SSS", [Stop(9, 14)]),
        ("GGGSSS....SSS", [Stop(2, 3)]),
        ("SSS....SSS", []),
        ("GG....SSS", []),
    ],
)
def test_a_stop_across_gaps_needs_going_surely_before_and_stopped_surely_after(signs: str, stops: list[Stop]) -> None:
    assert [each for each in minutes(signs)[0] if isinstance(each, Stop)] == stops


def test_a_change_does_not_hold_across_a_gap() -> None:
    assert minutes("GGGSS....S")[0] == [Span("going", 0, 2, "unknown")]


def test_readings_of_one_stamp_that_contradict_each_other_count_as_none() -> None:
    readings = [(0.0, 1.0), (60.0, 1.0), (120.0, 1.0), (120.0, 0.0), (120.0, 1.0), (180.0, 1.0)]
    course, found = fold(SETUP, sorted(readings))
    assert found == [Unlike(120, (0.0, 1.0))]
    assert tail(SETUP, course, 180) == Span("going", 0, 180, "open")


def test_a_sensor_silent_until_now_ends_as_unknown() -> None:
    course, _ = fold(SETUP, [(60.0 * at, 1.0) for at in range(3)])
    assert tail(SETUP, course, 300.0) == Span("going", 0, 120, "open")
    assert tail(SETUP, course, 301.0) == Span("going", 0, 120, "unknown")
    assert tail(SETUP, BEGIN, 0.0) is None


def levels(values: list[float]) -> list[Found]:
    setup = Setup(Level(upper=0.6, lower=0.3), EXPECTED_S)
    course, found = fold(setup, [(60.0 * at, value) for at, value in enumerate(values)])
    return [*found, *([last] if (last := tail(setup, course, course.heard_s or 0)) else [])]


def test_between_the_thresholds_the_former_state_holds() -> None:
    assert levels([0.9, 0.5, 0.7, 0.4, 0.8]) == [Span("going", 0, 240, "open")]
    assert levels([0.5, 0.5, 0.1, 0.5, 0.2, 0.1]) == [Span("stopped", 120, 300, "open")]


def test_at_the_start_and_after_a_gap_a_level_between_says_nothing() -> None:
    assert levels([0.5] * 5) == []
    assert levels([0.9, 0.9, 0.9, 0.1, 0.5, 0.5]) == [Span("going", 0, 120, "open")]


def test_a_level_between_may_be_of_either_side_of_the_stop() -> None:
    assert levels([0.9, 0.9, 0.9, 0.5, 0.1, 0.1, 0.1])[:2] == [Span("going", 0, 120, "stopped"), Stop(120, 240)]


BEATS = Setup(Beats(vph=18_000, tolerance=0.1, window_s=60), EXPECTED_S)


def beat_stops(counts: list[float]) -> list[Found]:
    _, found = fold(BEATS, [(60.0 * at, count) for at, count in enumerate(counts)])
    return [each for each in found if isinstance(each, Stop)]


@pytest.mark.parametrize(
    ("counts", "stop"),
    [
        ([300, 300, 300, 0, 0, 0], Stop(120, 180)),
        ([150, 150, 150, 0, 0, 0], Stop(120, 180)),
        ([300, 300, 300, 285, 0, 0, 0], Stop(177, 240)),
        ([300, 300, 300, 150, 0, 0, 0], Stop(150, 240)),
        ([300, 300, 300, 200, 0, 0, 0], Stop(120, 240)),
    ],
)
def test_a_watch_that_stops_within_the_window_of_a_count_stops_within_the_bracket(
    counts: list[float], stop: Stop
) -> None:
    assert beat_stops(counts) == [stop]


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.floats(200, 3000), st.floats(0, 59))
def test_a_counted_stop_lies_in_its_bracket_wherever_in_a_window_it_falls(stop_s: float, offset_s: float) -> None:
    beat_s = 0.2
    stamps = [offset_s + 60.0 * at for at in range(70)]
    counts = [
        (at, float(max(0, int(min(60.0, stop_s - at + 60.0) / beat_s + 1e-6)))) for at in stamps
    ]  # the beats of the minute before the stamp
    (stop,) = [each for each in fold(BEATS, counts)[1] if isinstance(each, Stop)]
    assert stop.after_s <= stop_s + 1e-6
    assert stop_s <= stop.before_s


def stops_of(readings: Readings, setup: Setup = SETUP) -> list[Stop]:
    return [each for each in fold(setup, sorted(readings))[1] if isinstance(each, Stop)]


def reached(truth: Truth, stops: list[Stop]) -> list[list[float]]:
    return [[at for at in truth.stops_s if stop.after_s <= at <= stop.before_s] for stop in stops]


@pytest.mark.parametrize("seed", range(6))
def test_every_bracket_holds_a_true_stop_through_losses_outages_and_knocks(seed: int) -> None:
    chance = Random(seed)
    truth = live(chance, 30, knocked=1.0, knock_s=90)
    stops = stops_of(sent(truth, chance, 30))
    assert len(stops) > 20
    assert all(reached(truth, stops))


def test_every_bracket_holds_a_true_stop_though_levels_often_lie_between() -> None:
    chance = Random(20)
    truth = live(chance, 30, knocked=0.0, knock_s=0)
    heard = [
        (at_s, chance.uniform(0.3, 1.0) if going else chance.uniform(0.0, 0.6))
        for at_s, going in sent(truth, chance, 30)
    ]
    stops = stops_of(heard, Setup(Level(upper=0.6, lower=0.3), EXPECTED_S))
    assert len(stops) > 20
    assert all(reached(truth, stops))


def clear_of_outages(truth: Truth, stop_s: float) -> bool:
    margin_s = SHORTEST_S
    return all(stop_s < begin - margin_s or stop_s > end + margin_s for begin, end in truth.outages_s)


def silent_near(readings: Readings, stop_s: float) -> bool:
    """Whether two readings or more were lost in a row, and the next came late: by our own rule a gap."""
    near = [at_s for at_s, _ in readings if abs(at_s - stop_s) < 10 * EXPECTED_S]
    return any(later - earlier > SETUP.gap_s for earlier, later in pairwise(near))


def test_99_percent_of_stops_outside_outages_are_bracketed_within_two_intervals_and_confirm() -> None:
    wide_s = 2 * EXPECTED_S + SETUP.confirm_s
    asked = narrow = 0
    for seed in range(4):
        chance = Random(100 + seed)
        truth = live(chance, 40, knocked=0.2, knock_s=20, mean_s=600.0)
        readings = sent(truth, chance, 40)
        due = [at for at in truth.stops_s if clear_of_outages(truth, at) and at < 39 * 86_400]
        stops = iter(stops_of(readings))
        stop = next(stops)
        for at in due:
            while stop.before_s < at:
                stop = next(stops)
            assert stop.after_s <= at <= stop.before_s
            is_narrow = stop.before_s - stop.after_s <= wide_s
            assert is_narrow or silent_near(readings, at) or any(abs(at - knock) < 1800 for knock, _ in truth.knocks_s)
            asked, narrow = asked + 1, narrow + is_narrow
    assert asked > 2500
    assert narrow / asked >= 0.99


READING = st.tuples(st.integers(0, 40).map(lambda at: 30.0 * at), st.sampled_from([0.0, 1.0]))
KINDS: list[Kind] = [Boolean(), Level(0.7, 0.2), Beats(60, 0.2, 60)]


@settings(max_examples=200, deadline=None, derandomize=True)
@given(st.lists(READING, max_size=60), st.sampled_from(KINDS))
def test_spans_are_apart_in_order_and_as_doubled_readings_have_them(readings: Readings, kind: Kind) -> None:
    setup = Setup(kind, EXPECTED_S, confirm_readings=2, confirm_s=30)
    course, found = fold(setup, sorted(readings))
    assert fold(setup, sorted(readings + readings[::2])) == (course, found)
    spans = [each for each in found if isinstance(each, Span)]
    assert all(span.from_s <= span.to_s for span in spans)
    assert all(one.to_s <= other.from_s for one, other in pairwise(spans))


def test_advancing_one_by_one_is_folding() -> None:
    readings = sorted(sent(live(Random(7), 3, knocked=1.0, knock_s=90), Random(8), 3))
    course: Course = BEGIN
    found: list[Found] = []
    for at_s, value in readings:
        course, ended = advance(SETUP, course, at_s, [value])
        found += ended
    assert (course, found) == fold(SETUP, readings)
