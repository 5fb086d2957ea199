from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import NamedTuple

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.core.winderfinding import Finding, Need, Seat, find, turns_a_day, useful

HOUR = timedelta(hours=1)
BEGIN = datetime(2026, 11, 2, tzinfo=UTC)
FIRST = int(BEGIN.timestamp() // 3600)
OWNER = Need(600, "both", "owner")


class Told(NamedTuple):
    hour: int
    clockwise: float = 0.0
    anticlockwise: float = 0.0
    not_known: float = 0.0
    known_s: float = 3600.0


def hours(*turns: float | None) -> list[Told]:
    """So many turns in each hour; None: nothing is known of it."""
    return [Told(FIRST + n, not_known=each) for n, each in enumerate(turns) if each is not None]


def seat(*turns: float | None, need: Need = OWNER) -> Seat:
    return Seat(hours=hours(*turns), on_since=BEGIN, need=need)


def at(hour: float) -> datetime:
    return BEGIN + hour * HOUR


def word(found: Finding | None) -> str | None:
    return found.word if found else None


def test_turns_a_day_are_counted_over_what_is_known() -> None:
    told = [Told(FIRST, clockwise=30), Told(FIRST + 2, anticlockwise=10, known_s=1800)]
    rate = turns_a_day(told, BEGIN, at(24))
    assert rate is not None
    assert (rate.clockwise, rate.anticlockwise, rate.known_h) == (480, 160, 1.5)
    assert [useful(rate, way) for way in ("clockwise", "anticlockwise", "both")] == [480, 160, 640]


def test_of_hours_that_nobody_knows_of_there_is_no_rate() -> None:
    assert turns_a_day([], BEGIN, at(24)) is None


def test_a_winder_that_does_its_work_is_not_spoken_of() -> None:
    assert find(None, seat(*[30.0] * 96), at(96)) is None


@pytest.mark.parametrize(("hour", "said"), [(53.9, None), (54, "no turns")])
def test_no_turns_is_said_once_the_longest_pause_is_over(hour: float, said: str | None) -> None:
    assert word(find(None, seat(*[30.0] * 30, *[0.0] * 25, need=Need(300, "both", "owner")), at(hour))) == said


def test_no_turns_counts_from_the_last_turn() -> None:
    found = find(None, seat(*[30.0] * 30, *[0.0] * 25), at(55))
    assert found == Finding("no turns", at(30))


def test_no_turns_is_said_sooner_if_the_watch_would_stop_before() -> None:
    standing_still = seat(*[30.0] * 30, *[0.0] * 6)
    stops_soon = replace(standing_still, stops_at=at(38))
    assert find(None, standing_still, at(36)) is None
    assert find(None, stops_soon, at(36)) == Finding("no turns", at(30), None, at(38))
    assert find(None, stops_soon, at(34.9)) is None


def test_a_pause_no_longer_than_those_before_is_no_cause_for_it() -> None:
    resting = replace(seat(*[*[60.0] * 6, *[0.0] * 8] * 3), stops_at=at(43))
    assert find(None, resting, at(42)) is None


def test_silence_is_not_no_turns() -> None:
    silent = seat(*[30.0] * 30, *[None] * 30)
    assert find(None, silent, at(55)) == Finding("not heard", at(30))
    assert find(None, replace(silent, listened=False), at(55)) is None


def test_too_few_turns_are_told_with_the_turns_a_day_and_the_stop_to_come() -> None:
    few = replace(seat(*[20.0] * 72), stops_at=at(120))
    assert find(None, few, at(72)) == Finding("too few turns", BEGIN, 480, at(120))


def test_too_few_is_not_said_of_less_than_two_days_or_of_what_keeps_it_going_anyway() -> None:
    assert find(None, seat(*[20.0] * 47), at(47)) is None
    usual = seat(*[20.0] * 72, need=Need())
    assert word(find(None, usual, at(72))) == "too few turns"
    assert find(None, replace(usual, holds=True), at(72)) is None


def test_turns_the_wrong_way_do_not_count_but_those_of_an_unknown_direction_may() -> None:
    clockwise = Need(600, "clockwise", "owner")
    wrong = Seat(hours=[Told(FIRST + n, anticlockwise=30) for n in range(72)], on_since=BEGIN, need=clockwise)
    assert find(None, wrong, at(72)) == Finding("too few turns", BEGIN, 0.0)
    assert find(None, seat(*[30.0] * 72, need=clockwise), at(72)) is None


def test_enough_turns_and_yet_stopped() -> None:
    stood = replace(seat(*[30.0] * 80), stopped_at=at(75))
    assert find(None, stood, at(80)) == Finding("enough turns, yet stopped", at(75), 720)


@pytest.mark.parametrize(
    "stood",
    [
        replace(seat(*[20.0] * 80), stopped_at=at(75)),
        replace(seat(*[30.0] * 80, need=Need()), stopped_at=at(75)),
        replace(seat(*[30.0] * 80, need=Need(600, "clockwise", "owner")), stopped_at=at(75)),
        replace(seat(*[30.0] * 20, *[None] * 60), stopped_at=at(75), listened=False),
        replace(seat(*[60.0] * 40, *[0.0] * 40), stopped_at=at(75)),
    ],
    ids=["too few", "not more than is usual", "direction not known", "not known", "not of late"],
)
def test_a_stop_that_too_few_turns_may_explain_is_none_of_it(stood: Seat) -> None:
    assert word(find(None, stood, at(80))) != "enough turns, yet stopped"


def test_no_turns_holds_until_it_clearly_turns_again() -> None:
    held = Finding("no turns", at(30))
    twitch, turning = [*[30.0] * 30, *[0.0] * 30, 5.0], [*[30.0] * 30, *[0.0] * 30, 40.0, 12.0]
    assert find(held, seat(*twitch), at(61)) == held
    assert find(held, seat(*turning), at(62)) is None


def test_days_that_were_told_of_as_standing_still_are_not_told_again_as_too_few() -> None:
    again = [*[30.0] * 30, *[0.0] * 30, *[20.0] * 48]
    assert find(None, seat(*again[:90]), at(90)) is None
    assert find(None, seat(*again), at(108)) == Finding("too few turns", at(60), 480)


def test_too_few_holds_until_the_need_itself_is_met() -> None:
    held = find(None, seat(*[20.0] * 72), at(72))
    better, enough = [*[20.0] * 72, *[24.0] * 72], [*[20.0] * 72, *[25.0] * 72]
    still = find(held, seat(*better), at(144))
    assert still == Finding("too few turns", BEGIN, 576)
    assert find(held, seat(*enough), at(144)) is None


def test_what_was_found_of_it_on_another_seat_is_over() -> None:
    held = Finding("no turns", at(-60))
    assert find(held, seat(*[30.0] * 30), at(30)) is None


@settings(max_examples=200, deadline=None)
@given(
    st.lists(st.one_of(st.none(), st.sampled_from([0.0, 0.0, 5.0, 24.0, 30.0])), max_size=120),
    st.sampled_from([None, 20, 80, 130]),
    st.sampled_from([None, 50, 100]),
    st.sampled_from(
        [None, Finding("no turns", at(3)), Finding("too few turns", at(9), 3.0), Finding("not heard", BEGIN)]
    ),
)
def test_asked_again_with_its_answer_the_answer_is_the_same(
    turns: list[float | None], stops_h: int | None, stopped_h: int | None, held: Finding | None
) -> None:
    stands = replace(
        seat(*turns),
        stops_at=None if stops_h is None else at(stops_h),
        stopped_at=None if stopped_h is None else at(stopped_h),
    )
    found = find(held, stands, at(len(turns)))
    assert find(found, stands, at(len(turns))) == found


@settings(max_examples=30, deadline=None)
@given(st.lists(st.sampled_from([22.6, 23.4, 24.2]), min_size=40, max_size=80))
def test_turns_that_waver_about_nine_tenths_of_the_need_make_one_finding_at_most(turns: list[float]) -> None:
    """9/10 of 600 is 22.5 an hour, the need itself 25: between them nothing begins and nothing ends."""
    held, told = find(None, seat(*[20.0] * 72), at(72)), set()
    for hour in range(72, 72 + len(turns)):
        held = find(held, seat(*[20.0] * 72, *turns[: hour - 71]), at(hour + 1))
        told.add(held and held.since)
    assert told == {BEGIN}


@settings(max_examples=60, deadline=None)
@given(st.lists(st.sampled_from([0.0, 0.0, 0.0, 0.0, 3.0]), min_size=30, max_size=60))
def test_a_winder_that_twitches_now_and_then_makes_one_finding(turns: list[float]) -> None:
    turns = [0.0] * 24 + [each if sum(turns[:n]) < 45 else 0.0 for n, each in enumerate(turns)]
    held, told = None, []
    for hour in range(30 + 24, 30 + len(turns)):
        held = find(held, seat(*[30.0] * 30, *turns[: hour - 30]), at(hour))
        told.append(held and held.word)
    assert set(told) == {"no turns"}
