from dataclasses import replace
from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from tracker.reminders.reminder import RunReminder, reminder_row, run_from_row
from tracker.reminders.runfacts import RunFacts
from tracker.reminders.runplan import NEVER, ToRun, plan_runs

NOW = datetime(2026, 11, 25, 7, 25, tzinfo=UTC)
DAY = timedelta(days=1)


def clock(last: str = "w1", days: float = 10.0, **more: object) -> ToRun:
    """A clock that last ran so many days before its day."""
    facts = RunFacts(nickname="Boathouse", every_days=30, last_at=None if last == NEVER else NOW + (days - 30) * DAY)
    return ToRun("a", last, NOW + days * DAY, replace(facts, **more))  # type: ignore[arg-type]  # given by name


def told(to_run: ToRun | None = None) -> RunReminder:
    (made,) = plan_runs([to_run or clock()], [], NOW)
    return replace(made, state="due")


def test_its_day_is_planned_once() -> None:
    (made,) = plan_runs([clock()], [], NOW)
    assert (made.state, made.due_at, made.key) == ("planned", NOW + 10 * DAY, "run/a/w1/1")
    assert plan_runs([clock()], [made], NOW + DAY) == []
    assert plan_runs([clock()], [replace(made, state="due")], NOW + 12 * DAY) == []


def test_a_day_that_has_passed_is_told_now() -> None:
    assert plan_runs([clock(days=-3)], [], NOW)[0].due_at == NOW


def test_another_number_of_days_moves_what_was_not_told() -> None:
    (made,) = plan_runs([clock()], [], NOW)
    (moved,) = plan_runs([clock(days=20.0)], [made], NOW)
    assert (moved.uid, moved.due_at) == (made.uid, NOW + 20 * DAY)


def test_a_winding_closes_what_was_told_and_plans_the_next() -> None:
    closed, following = plan_runs([clock("w2", days=41.0)], [told()], NOW + 11 * DAY)
    assert (closed.state, closed.closed_by) == ("closed", "wound")
    assert (following.episode, following.state) == ("w2", "planned")
    again = plan_runs([clock()], [closed, following], NOW + 11 * DAY)
    assert [(each.episode, each.state) for each in again] == [("w2", "withdrawn"), ("w1", "due")], "undone"


def test_no_longer_asked_it_lapses_or_is_withdrawn() -> None:
    (lapsed,) = plan_runs([], [told()], NOW)
    assert (lapsed.state, lapsed.closed_by) == ("closed", "lapsed")
    (withdrawn,) = plan_runs([], plan_runs([clock()], [], NOW), NOW)
    assert withdrawn.state == "withdrawn"


def test_it_reads_back_as_it_was_written() -> None:
    for last in ("w1", NEVER):
        made = told(clock(last))
        assert run_from_row(reminder_row(made, NOW)) == made


stories = st.lists(st.tuples(st.none() | st.sampled_from(["w1", "w2", NEVER]), st.floats(-20, 20), st.booleans()))


@given(stories)
def test_a_watch_never_has_two_open_and_no_run_is_told_twice(story: list[tuple[str | None, float, bool]]) -> None:
    rows, keys = dict[str, RunReminder](), list[str]()
    for last, days, rings in story:
        to_run = [] if last is None else [clock(last, days)]
        rows |= {each.uid: each for each in plan_runs(to_run, list(rows.values()), NOW)}
        assert plan_runs(to_run, list(rows.values()), NOW + timedelta(minutes=1)) == []
        for uid, row in rows.items():
            if rings and row.state == "planned" and row.due_at <= NOW:
                rows[uid] = replace(row, state="due")
                keys.append(row.key)
        assert sum(row.open for row in rows.values()) <= 1
    assert len(keys) == len({*keys})
