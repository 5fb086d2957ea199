from datetime import UTC, datetime, timedelta

from tracker.core.rounds.problem import Kept, out_of_reach, problem

NOW = datetime(2026, 11, 2, 6, tzinfo=UTC)
HOUR = timedelta(hours=1)
HOUR_US = 3_600_000_000


def test_times_count_in_microseconds_from_now_and_the_slack_is_off_both_deadlines() -> None:
    within, given = problem([Kept("a", NOW + 10 * HOUR, 20)], [NOW + 5 * HOUR], NOW, NOW + 48 * HOUR, HOUR)
    assert within == [NOW + 5 * HOUR]
    assert given.rounds.tolist() == [5 * HOUR_US]
    assert (given.first.tolist(), given.lasts.tolist()) == ([9 * HOUR_US], [19 * HOUR_US])
    assert given.deadlines.tolist() == [[24 * HOUR_US]]


def test_excused_is_who_runs_out_before_the_next_round_and_before_the_end() -> None:
    rounds = [NOW + hours * HOUR for hours in (0, 20, 50)]
    _, given = problem([Kept("a", NOW, 20), Kept("b", NOW, 30)], rounds, NOW, NOW + 75 * HOUR, timedelta(0))
    assert given.excused.tolist() == [[False, True, True], [False, False, False]]


def test_a_reserve_longer_than_any_plan_is_no_fault() -> None:
    _, given = problem([Kept("a", NOW + HOUR, 1e9)], [NOW], NOW, NOW + 48 * HOUR, HOUR)
    assert (given.deadlines >= given.end).all()


def test_a_third_of_the_gaps_may_outlast_a_watch_and_no_more() -> None:
    rounds = [NOW + hours * HOUR for hours in (0, 10, 20, 60)]
    assert not out_of_reach(Kept("a", NOW, 20), rounds)
    assert out_of_reach(Kept("a", NOW, 20), [*rounds, NOW + 100 * HOUR])
    assert not out_of_reach(Kept("a", NOW, 20), rounds[:1])
