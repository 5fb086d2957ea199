from dataclasses import replace
from datetime import UTC, datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.core.rounds.brute import alone, best, margin_of
from tracker.core.rounds.plan import Plan, plan
from tracker.core.rounds.problem import Kept, out_of_reach

NOW = datetime(2026, 11, 2, 6, tzinfo=UTC)
HOUR = timedelta(hours=1)


def at(hours: float) -> datetime:
    return NOW + hours * HOUR


def kept(name: str, wind_by_h: float, lasts_h: float) -> Kept:
    return Kept(name, at(wind_by_h), lasts_h)


def rounds_at(*hours: float) -> list[datetime]:
    return [at(hour) for hour in hours]


def wound(found: Plan, name: str) -> list[datetime]:
    return [each.at for each in found.rounds if name in each.wind]


hours = st.integers(0, 24 * 6)
watches = st.lists(
    st.builds(kept, st.just("w"), st.integers(-10, 150), st.integers(1, 120)), min_size=0, max_size=5
).map(lambda each: [Kept(f"w{place}", watch.wind_by, watch.lasts_h) for place, watch in enumerate(each)])


@settings(max_examples=250, deadline=None)
@given(watches, st.lists(hours, max_size=7, unique=True), st.sampled_from([0, 30, 90]), st.data())
def test_a_plan_is_the_best_of_all(asked: list[Kept], rounds_h: list[int], slack_min: int, data: st.DataObject) -> None:
    rounds, end, slack = sorted(rounds_at(*rounds_h)), at(24 * 6), timedelta(minutes=slack_min)
    always = [moment for moment in rounds if data.draw(st.booleans()) and data.draw(st.booleans())]
    found = plan(asked, rounds, NOW, end, slack, always=always)
    able = [watch for watch in asked if not out_of_reach(watch, rounds)]
    truth = best(able, rounds, end, slack, always)
    assert (len(found.rounds), found.windings, found.least_margin) == truth
    assert found.windings_within == 0
    assert_each_is_best_alone(found, able, rounds, end, slack)


def assert_each_is_best_alone(
    found: Plan, able: list[Kept], rounds: list[datetime], end: datetime, slack: timedelta
) -> None:
    opened = [each.at for each in found.rounds]
    for watch in able:
        own = alone(watch, opened, rounds, end, slack)
        assert own is not None
        assert tuple(wound(found, watch.name)) == own.wound
        assert margin_of(watch, own.wound, rounds, end, slack) == own.least_margin


@settings(max_examples=250, deadline=None)
@given(watches, st.lists(hours, min_size=1, max_size=7, unique=True), st.sampled_from([0, 30, 90]), st.data())
def test_a_plan_around_what_was_chosen_is_the_best_of_all(
    asked: list[Kept], rounds_h: list[int], slack_min: int, data: st.DataObject
) -> None:
    rounds, end, slack = sorted(rounds_at(*rounds_h)), at(24 * 6), timedelta(minutes=slack_min)
    places = st.one_of(st.none(), st.sampled_from(rounds))
    chosen = [replace(watch, pinned=data.draw(places)) for watch in asked]
    found = plan(chosen, rounds, NOW, end, slack)
    able = [watch for watch in chosen if not out_of_reach(watch, rounds)]
    truth = best(able, rounds, end, slack)
    pinned = [(watch, watch.wind_by - slack - watch.pinned) for watch in able if watch.pinned]
    counted = [margin for watch, margin in pinned if margin >= timedelta(0) and watch.wind_by - slack < end]
    margins = [*counted, *([] if truth.least_margin is None else [truth.least_margin])]
    assert (len(found.rounds), found.windings) == (truth.rounds, truth.windings)
    assert found.least_margin == min(margins, default=None)
    assert found.windings_within == 0
    assert_each_is_best_alone(found, able, rounds, end, slack)
    late = {(each.name, each.missed, each.until) for each in found.late}
    for watch, margin in pinned:
        assert watch.pinned is not None
        assert wound(found, watch.name)[0] == watch.pinned
        assert ((watch.name, watch.wind_by - slack, watch.pinned) in late) == (margin < timedelta(0))


def test_a_watch_put_into_a_later_round_is_late_there_and_told() -> None:
    found = plan([replace(kept("a", 10, 60), pinned=at(20))], rounds_at(5, 20, 50), NOW, at(60))
    assert wound(found, "a") == rounds_at(20)
    assert [(each.missed, each.until) for each in found.late] == [(at(10), at(20))]
    assert found.least_margin is None


def test_a_round_that_is_none_of_these_is_no_choice() -> None:
    watch = kept("a", 10, 60)
    assert plan([replace(watch, pinned=at(6))], rounds_at(5, 20), NOW, at(60)) == plan(
        [watch], rounds_at(5, 20), NOW, at(60)
    )


def test_no_watch_asks_for_no_round() -> None:
    assert plan([], rounds_at(1, 13), NOW, at(48)) == Plan(rounds=(), windings=0, least_margin=None)


def test_a_watch_that_lasts_to_the_end_is_left_alone() -> None:
    assert plan([kept("clock", 48, 31)], rounds_at(1, 13), NOW, at(48)).windings == 0


def test_one_winding_serves_two_watches_in_one_round() -> None:
    found = plan([kept("a", 10, 60), kept("b", 20, 60)], rounds_at(2, 8, 18), NOW, at(48))
    assert [(each.at, each.wind) for each in found.rounds] == [(at(2), ("a", "b"))]
    assert found.least_margin == 8 * HOUR


def test_a_winding_at_the_deadline_itself_is_in_time_and_one_after_the_slack_is_not() -> None:
    watch = [kept("a", 8, 60)]
    assert plan(watch, rounds_at(8), NOW, at(48)).late == ()
    late = plan(watch, rounds_at(8), NOW, at(48), timedelta(minutes=1)).late
    assert [(each.missed, each.until) for each in late] == [(at(8) - timedelta(minutes=1), at(8))]


def test_a_gap_that_no_round_bridges_is_excused_and_told() -> None:
    found = plan([kept("a", 10, 20)], rounds_at(5, 20, 50, 65), NOW, at(80))
    assert wound(found, "a") == rounds_at(5, 20, 50, 65)
    assert [(each.missed, each.until) for each in found.late] == [(at(40), at(50))]
    assert found.least_margin == 5 * HOUR


def test_after_the_last_round_nothing_more_is_asked_but_told() -> None:
    found = plan([kept("a", 10, 20)], rounds_at(5), NOW, at(80))
    assert wound(found, "a") == rounds_at(5)
    assert [(each.missed, each.until) for each in found.late] == [(at(25), at(80))]


def test_a_watch_past_its_deadline_is_wound_in_the_very_first_round() -> None:
    found = plan([kept("a", -3, 20)], rounds_at(5, 20), NOW, at(24))
    assert wound(found, "a") == rounds_at(5)
    assert [(each.missed, each.until) for each in found.late] == [(at(-3), at(5))]
    assert found.least_margin is None


def test_a_watch_that_most_gaps_outlast_cannot_be_kept() -> None:
    found = plan([kept("a", 10, 20), kept("b", 30, 60)], rounds_at(5, 29, 53, 77), NOW, at(100))
    assert found.cannot == ("a",)
    assert wound(found, "a") == []


def test_rounds_out_of_the_time_asked_about_and_doubles_count_for_nothing() -> None:
    watch = [kept("a", 10, 20)]
    plain = plan(watch, rounds_at(5, 20), NOW, at(30))
    assert plan(watch, rounds_at(-4, 20, 5, 5, 31), NOW, at(30)) == plain


def test_a_round_that_is_open_anyway_is_used() -> None:
    watch = [kept("a", 30, 200)]
    assert wound(plan(watch, rounds_at(5, 20), NOW, at(72)), "a") == rounds_at(5)
    found = plan(watch, rounds_at(5, 20), NOW, at(72), always=rounds_at(20))
    assert [(each.at, each.wind) for each in found.rounds] == [(at(20), ("a",))]
