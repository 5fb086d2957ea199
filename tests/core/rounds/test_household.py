from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.core.rounds.household import Member, household
from tracker.core.rounds.plan import Plan, plan
from tracker.core.rounds.problem import Kept
from tracker.core.roundtimes import RoundTime, moments
from tracker.core.watch import Habit, Weekday

LONDON = ZoneInfo("Europe/London")
NOW = datetime(2026, 11, 2, 6, tzinfo=UTC)  # a Monday
END = NOW + timedelta(days=14)
HOUR = timedelta(hours=1)
NONE = timedelta(0)
MORNINGS = moments([RoundTime(frozenset(range(7)), time(7, 30))], NOW, END, LONDON)


HABITS: list[Habit] = ["keep going", "on weekdays", "every n days"]
SOME_DAYS: list[tuple[Weekday, ...]] = [(), ("Sun",), ("Mon", "Thu")]


def wound(found: Plan, name: str) -> list[datetime]:
    return [each.at for each in found.rounds if name in each.wind]


def member(name: str, wind_by_h: float = 30.0, lasts_h: float = 40.0, **more: object) -> Member:
    return Member(name=name, wind_by=NOW + wind_by_h * HOUR, lasts_h=lasts_h, **more)  # type: ignore[arg-type]  # given by name


def test_watches_that_are_kept_going_are_planned_as_ever() -> None:
    watches = [member("a"), member("b", 60, 70)]
    assert household(watches, MORNINGS, NOW, END, slack=NONE, zone=LONDON) == plan(
        [Kept(each.name, each.wind_by, each.lasts_h) for each in watches], MORNINGS, NOW, END
    )


def test_a_clock_of_sundays_is_wound_on_sundays_and_opens_that_round_for_others() -> None:
    clock = member("clock", 200, 200, habit="on weekdays", weekdays=("Sun",))
    found = household([clock, member("b", 200, 190)], MORNINGS, NOW, END, slack=NONE, zone=LONDON)
    assert [moment.strftime("%a") for moment in wound(found, "clock")] == ["Sun", "Sun"]
    assert {*wound(found, "b")} <= {*wound(found, "clock")}
    assert found.windings == sum(len(each.wind) for each in found.rounds)


def test_of_two_rounds_on_its_day_the_first_is_the_clocks() -> None:
    evenings = [moment + 12 * HOUR for moment in MORNINGS]
    clock = member("clock", 200, 200, habit="on weekdays", weekdays=("Sun",))
    found = household([clock], [*MORNINGS, *evenings], NOW, END, slack=NONE, zone=LONDON)
    assert {moment.hour for moment in wound(found, "clock")} == {7}


def test_a_wind_by_before_its_day_is_told() -> None:
    clock = member("clock", 30, 200, habit="on weekdays", weekdays=("Sun",))
    found = household([clock], MORNINGS, NOW, END, slack=NONE, zone=LONDON)
    assert [(each.missed, each.until) for each in found.late] == [(NOW + 30 * HOUR, wound(found, "clock")[0])]


def test_every_so_many_days_a_watch_is_wound_on_that_day_though_it_lasts_longer() -> None:
    weekly = member("weekly", 180, 190, habit="every n days", every_days=7, wound_at=MORNINGS[0] - timedelta(days=4))
    found = household([weekly], MORNINGS, NOW, END, slack=NONE, zone=LONDON)
    first, second = wound(found, "weekly")
    assert first <= MORNINGS[3]
    assert second - first <= timedelta(days=7)


def test_or_sooner_where_it_does_not_last() -> None:
    weekly = member("weekly", 30, 60, habit="every n days", every_days=7)
    assert len(wound(household([weekly], MORNINGS, NOW, END, slack=NONE, zone=LONDON), "weekly")) == 7


def test_a_calendar_is_wound_in_every_round_that_is_open_and_not_counted_for_it() -> None:
    alone = household([member("a")], MORNINGS, NOW, END, slack=NONE, zone=LONDON)
    found = household(
        [member("a"), member("almanac", 60, 70, calendar=True)], MORNINGS, NOW, END, slack=NONE, zone=LONDON
    )
    assert wound(found, "almanac") == [each.at for each in found.rounds]
    assert len(found.rounds) == len(alone.rounds)
    assert found.windings < sum(len(each.wind) for each in found.rounds)


def test_a_watch_that_has_stopped_is_wound_in_the_next_round_and_is_not_late() -> None:
    found = household([member("a", -20, stopped=True)], MORNINGS, NOW, END, slack=0.5 * HOUR, zone=LONDON)
    assert wound(found, "a")[0] == MORNINGS[0]
    assert found.late == ()


def test_what_has_stopped_has_no_say_in_the_margins_of_others() -> None:
    watches = [member("a", -20, 60, stopped=True), member("b", 60, 200)]
    found = household(watches, MORNINGS, NOW, END, slack=NONE, zone=LONDON)
    alone = household(watches[1:], MORNINGS, NOW, END, slack=NONE, zone=LONDON)
    assert found.least_margin is not None
    assert alone.least_margin is not None
    assert found.least_margin > 8 * HOUR


@pytest.mark.parametrize(
    "more", [{}, {"stopped": True}, {"calendar": True}, {"habit": "every n days", "every_days": 3}]
)
def test_a_watch_is_first_wound_in_the_round_chosen_for_it(more: dict[str, object]) -> None:
    others = [member("b", 30, 40), member("c", 20, 30)]
    moved = member("a", 70, 80, chosen=MORNINGS[2], **more)
    found = household([*others, moved], MORNINGS, NOW, END, slack=NONE, zone=LONDON)
    assert wound(found, "a")[0] == MORNINGS[2]
    assert found.late == ()


def test_the_round_chosen_for_a_clock_of_sundays_stands_for_its_sunday() -> None:
    clock = member("clock", 200, 220, habit="on weekdays", weekdays=("Sun",), chosen=MORNINGS[5])
    found = household([clock], MORNINGS, NOW, END, slack=NONE, zone=LONDON)
    assert [moment.strftime("%a %d") for moment in wound(found, "clock")] == ["Sat 07", "Sun 15"]


def test_but_not_where_it_would_stop_before_the_next() -> None:
    clock = member("clock", 200, 200, habit="on weekdays", weekdays=("Sun",), chosen=MORNINGS[3])
    found = household([clock], MORNINGS, NOW, END, slack=NONE, zone=LONDON)
    assert [moment.strftime("%a %d") for moment in wound(found, "clock")] == ["Thu 05", "Sun 08", "Sun 15"]


def test_a_clock_moved_to_a_later_round_is_not_wound_before() -> None:
    clock = member("clock", 200, 220, habit="on weekdays", weekdays=("Sun",), chosen=MORNINGS[7])
    found = household([clock], MORNINGS, NOW, END, slack=NONE, zone=LONDON)
    assert [moment.strftime("%a %d") for moment in wound(found, "clock")] == ["Mon 09", "Sun 15"]


@pytest.mark.parametrize(
    ("wound_at", "lasts_h", "days"),
    [
        (MORNINGS[6] - HOUR, 200, ["Sun 15"]),  # on the Sunday itself
        (MORNINGS[5], 220, ["Sun 15"]),  # on the eve, and it lasts until the next Sunday
        (MORNINGS[5], 180, ["Sun 08", "Sun 15"]),
        (MORNINGS[3], 260, ["Sun 08", "Sun 15"]),
    ],
)
def test_a_clock_of_sundays_that_was_wound_for_its_sunday_is_not_asked_for_again(
    wound_at: datetime, lasts_h: float, days: list[str]
) -> None:
    now = MORNINGS[6] - HOUR / 2
    by = (wound_at - NOW) / HOUR + lasts_h
    clock = member("clock", by, lasts_h, habit="on weekdays", weekdays=("Sun",), wound_at=wound_at)
    found = household([clock], MORNINGS, now, END, slack=NONE, zone=LONDON)
    assert [moment.strftime("%a %d") for moment in wound(found, "clock")] == days


def test_a_calendar_that_was_just_wound_is_not_wound_again_in_the_round_it_was_wound_in() -> None:
    now = MORNINGS[0]
    almanac = member("almanac", 60, 60, calendar=True, wound_at=now - HOUR / 2)
    found = household([member("a", 2), almanac], MORNINGS, now, END, slack=NONE, zone=LONDON)
    assert wound(found, "almanac") == [each.at for each in found.rounds][1:]


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.integers(2, 90), st.integers(26, 100)), min_size=2, max_size=7), st.data())
def test_nobody_leaves_a_round_that_has_begun_because_another_was_wound(
    asked: list[tuple[int, int]], data: st.DataObject
) -> None:
    watches = [member(f"w{place}", wind_by, lasts) for place, (wind_by, lasts) in enumerate(asked)]
    at, later = MORNINGS[0], MORNINGS[0] + HOUR / 4
    before = household(watches, MORNINGS, at, END, slack=NONE, zone=LONDON)
    now = {name for each in before.rounds if each.at == at for name in each.wind}
    done = {name for name in sorted(now) if data.draw(st.booleans())}
    since = [
        replace(each, wind_by=later + each.lasts_h * HOUR, wound_at=later) if each.name in done else each
        for each in watches
    ]
    rounds = [later, *MORNINGS[1:]]
    found = household(since, rounds, later, END, slack=NONE, zone=LONDON, begun=[later] if done else [])
    assert {name for each in found.rounds if each.at == later for name in each.wind} >= now - done
    assert all(each.wind for each in found.rounds)


@st.composite
def households(draw: st.DrawFn) -> list[Member]:
    watches = []
    for place in range(draw(st.integers(0, 8))):
        lasts_h = draw(st.integers(20, 200))
        watches.append(
            Member(
                name=f"w{place}",
                wind_by=NOW + draw(st.integers(-5, lasts_h)) * HOUR,
                lasts_h=lasts_h,
                habit=draw(st.sampled_from(HABITS)),
                weekdays=draw(st.sampled_from(SOME_DAYS)),
                every_days=draw(st.sampled_from([None, 3, 7])),
                calendar=draw(st.booleans()),
                stopped=draw(st.booleans()),
                chosen=draw(st.sampled_from([None, None, MORNINGS[0], MORNINGS[4], MORNINGS[0] - HOUR])),
            )
        )
    return watches


@settings(max_examples=100, deadline=None)
@given(households())
def test_a_watch_is_never_left_beyond_its_deadline_unsaid(watches: list[Member]) -> None:
    found = household(watches, MORNINGS, NOW, END, slack=NONE, zone=LONDON)
    told = {(each.name, each.until) for each in found.late}
    for each in watches:
        if each.name in found.cannot:
            continue
        deadline = min([*wound(found, each.name), END]) if each.stopped else each.wind_by
        for at in [*wound(found, each.name), END]:
            assert deadline >= at or (each.name, at) in told
            deadline = at + each.lasts_h * HOUR
