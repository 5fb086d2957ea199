from dataclasses import replace
from datetime import UTC, datetime, timedelta
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.reminders.plan import KeptWatch, plan
from tracker.reminders.reminder import Reminder

NOW = datetime(2026, 11, 25, 7, 25, tzinfo=UTC)
HOUR = timedelta(hours=1)
FERRY = KeptWatch("ferry", "Night ferry", "wind-1", NOW - 10 * HOUR, NOW + 20 * HOUR)
WOUND_AGAIN = KeptWatch("ferry", "Night ferry", "wind-2", NOW, NOW + 30 * HOUR)
NOT_KEPT = replace(FERRY, wind_by=None)


def told(watch: KeptWatch = FERRY) -> Reminder:
    (planned,) = plan([watch], [], 3, NOW)
    return replace(planned, state="due")


def test_a_last_call_is_due_its_notice_before_the_wind_by() -> None:
    (planned,) = plan([FERRY], [], 3, NOW)
    assert (planned.state, planned.due_at, planned.useful_until) == ("planned", NOW + 17 * HOUR, NOW + 20 * HOUR)
    assert planned.key == "last-call/ferry/wind-1/1"


def test_it_is_never_due_before_the_run_began() -> None:
    started = KeptWatch("ferry", "Night ferry", "wind-1", NOW + HOUR, NOW + 30 * HOUR)
    assert plan([started], [], 72, NOW)[0].due_at == NOW + HOUR


def test_it_is_due_at_once_where_the_notice_has_begun() -> None:
    assert plan([replace(FERRY, wind_by=NOW + HOUR)], [], 3, NOW)[0].due_at == NOW


def test_nothing_is_planned_for_a_wind_by_already_past() -> None:
    assert plan([replace(FERRY, wind_by=NOW - HOUR)], [], 3, NOW) == []


def test_nothing_is_planned_for_a_watch_that_is_not_kept() -> None:
    assert plan([NOT_KEPT], [], 3, NOW) == []


def test_a_moved_wind_by_moves_what_was_not_told() -> None:
    planned = plan([FERRY], [], 3, NOW)
    (moved,) = plan([replace(FERRY, wind_by=NOW + 25 * HOUR)], planned, 3, NOW)
    assert moved == replace(
        planned[0],
        due_at=NOW + 22 * HOUR,
        useful_until=NOW + 25 * HOUR,
        facts=replace(planned[0].facts, wind_by=NOW + 25 * HOUR),
    )


def test_a_winding_withdraws_what_was_not_told_and_plans_the_next() -> None:
    withdrawn, following = plan([WOUND_AGAIN], plan([FERRY], [], 3, NOW), 3, NOW)
    assert (withdrawn.episode, withdrawn.state) == ("wind-1", "withdrawn")
    assert (following.episode, following.ordinal, following.state) == ("wind-2", 1, "planned")


def test_a_winding_closes_what_was_told_as_wound() -> None:
    closed, _following = plan([WOUND_AGAIN], [told()], 3, NOW)
    assert (closed.state, closed.closed_by) == ("closed", "wound")


def test_a_part_wind_closes_what_was_told_though_it_has_no_wind_by() -> None:
    (closed,) = plan([replace(WOUND_AGAIN, wind_by=None)], [told()], 3, NOW)
    assert closed.closed_by == "wound"


def test_a_watch_no_longer_kept_lapses_what_was_told() -> None:
    (closed,) = plan([NOT_KEPT], [told()], 3, NOW)
    assert (closed.state, closed.closed_by) == ("closed", "lapsed")


def test_a_voided_winding_does_not_count_as_wound() -> None:
    before = KeptWatch("ferry", "Night ferry", "wind-0", NOW - 60 * HOUR, NOW - 20 * HOUR)
    (closed,) = plan([before], [told()], 3, NOW)
    assert closed.closed_by == "lapsed"


def test_an_undone_winding_brings_back_what_was_told_without_a_new_message() -> None:
    (closed, _) = plan([WOUND_AGAIN], [told()], 3, NOW)
    assert plan([FERRY], [closed], 3, NOW) == [told()]


def test_an_undone_winding_plans_again_what_was_withdrawn() -> None:
    planned = plan([FERRY], [], 3, NOW)
    withdrawn, _ = plan([WOUND_AGAIN], planned, 3, NOW)
    assert plan([FERRY], [withdrawn], 3, NOW) == planned


def test_a_sighting_after_the_message_makes_a_new_ordinal_at_its_own_notice() -> None:
    now = NOW + 18 * HOUR
    closed, following = plan([replace(FERRY, wind_by=NOW + 30 * HOUR)], [told()], 3, now)
    assert (closed.state, closed.closed_by) == ("closed", "lapsed")
    assert (following.ordinal, following.due_at) == (2, NOW + 27 * HOUR)


def test_a_wind_by_moved_on_within_its_own_notice_is_not_told_again() -> None:
    now = NOW + 19 * HOUR
    (kept,) = plan([replace(FERRY, wind_by=NOW + 21.5 * HOUR)], [told()], 3, now)
    assert (kept.state, kept.ordinal, kept.useful_until) == ("due", 1, NOW + 21.5 * HOUR)


def test_a_wind_by_moved_nearer_is_told_again_at_once() -> None:
    now = NOW + 17 * HOUR
    _closed, following = plan([replace(FERRY, wind_by=NOW + 18.5 * HOUR)], [told()], 3, now)
    assert (following.ordinal, following.due_at) == (2, now)


def test_small_moves_after_the_message_do_not_add_up_unnoticed() -> None:
    now = NOW + 10 * HOUR
    (kept,) = plan([replace(FERRY, wind_by=NOW + 19.5 * HOUR)], [told()], 3, now)
    changes = plan([replace(FERRY, wind_by=NOW + 19 * HOUR)], [kept], 3, now)
    assert [(each.state, each.ordinal) for each in changes] == [("closed", 1), ("planned", 2)]


def test_what_was_done_stays_closed() -> None:
    assert plan([FERRY], [replace(told(), state="closed", closed_by="done")], 3, NOW) == []


def test_a_new_nickname_reaches_what_was_told() -> None:
    (renamed,) = plan([replace(FERRY, nickname="Day ferry")], [told()], 3, NOW)
    assert (renamed.state, renamed.facts.nickname) == ("due", "Day ferry")


hours = st.floats(-100, 100).map(lambda h: NOW + timedelta(hours=h))
watches = st.lists(
    st.builds(
        KeptWatch,
        st.sampled_from("abcd"),
        st.sampled_from(["Night ferry", "Örtchen"]),
        st.sampled_from(["wind-1", "wind-2"]),
        hours,
        st.none() | hours,
    ),
    unique_by=lambda watch: watch.watch_uid,
)
steps = st.lists(st.tuples(watches, st.floats(0, 72), st.booleans()), min_size=1, max_size=5)


def lived(story: list[tuple[list[KeptWatch], float, bool]]) -> dict[str, Reminder]:
    """Reminders after some changes, those planned having come due in between where the story says so."""
    rows: dict[str, Reminder] = {}
    for each, notice_h, come_due in story:
        rows |= {change.uid: change for change in plan(each, list(rows.values()), notice_h, NOW)}
        if come_due:
            rows = {u: replace(r, state="due") if r.state == "planned" else r for u, r in rows.items()}
    return rows


@given(steps, watches, st.floats(0, 72))
def test_planning_twice_changes_nothing(
    story: list[tuple[list[KeptWatch], float, bool]], now_so: list[KeptWatch], notice_h: float
) -> None:
    rows = lived(story)
    rows |= {change.uid: change for change in plan(now_so, list(rows.values()), notice_h, NOW)}
    assert plan(now_so, list(rows.values()), notice_h, NOW + timedelta(minutes=1)) == []


@given(steps, watches, st.floats(0, 72), st.randoms(use_true_random=False))
def test_the_order_of_watches_and_rows_does_not_matter(
    story: list[tuple[list[KeptWatch], float, bool]], now_so: list[KeptWatch], notice_h: float, random: Random
) -> None:
    rows = list(lived(story).values())
    planned = plan(now_so, rows, notice_h, NOW)
    random.shuffle(now_so)
    random.shuffle(rows)
    assert plan(now_so, rows, notice_h, NOW) == planned


@given(steps)
def test_a_watch_never_has_two_open_reminders(story: list[tuple[list[KeptWatch], float, bool]]) -> None:
    open_ones = [reminder.subject_uid for reminder in lived(story).values() if reminder.open]
    assert len(open_ones) == len(set(open_ones))


LOOK_AT = NOW + 26 * HOUR
OFFERED = replace(FERRY, look_at=LOOK_AT)


def test_a_look_takes_the_last_calls_place() -> None:
    (look,) = plan([OFFERED], [], 3, NOW)
    assert (look.kind, look.state, look.due_at, look.useful_until) == ("look", "planned", LOOK_AT, LOOK_AT)
    assert look.key == "look/ferry/wind-1/1"


def test_an_offer_withdraws_the_last_call_and_its_end_brings_it_back() -> None:
    called = plan([FERRY], [], 3, NOW)
    withdrawn, look = plan([OFFERED], called, 3, NOW)
    assert (withdrawn.kind, withdrawn.state, look.kind) == ("last call", "withdrawn", "look")
    again, gone = plan([FERRY], [withdrawn, look], 3, NOW)
    assert (again.kind, again.state, gone.kind, gone.state) == ("last call", "planned", "look", "withdrawn")


def test_a_winding_closes_a_look_that_was_told() -> None:
    (look,) = plan([OFFERED], [], 3, NOW)
    closed, following = plan([WOUND_AGAIN], [replace(look, state="due")], 3, NOW)
    assert (closed.kind, closed.state, closed.closed_by) == ("look", "closed", "wound")
    assert following.kind == "last call"


def test_a_look_that_was_made_closes_it() -> None:
    (look,) = plan([OFFERED], [], 3, NOW)
    closed, call = plan([FERRY], [replace(look, state="due")], 3, NOW)[::-1]
    assert (closed.kind, closed.state) == ("look", "closed")
    assert call.kind == "last call"


def test_a_look_is_planned_once() -> None:
    planned = plan([OFFERED], [], 3, NOW)
    assert plan([OFFERED], planned, 3, NOW) == []


# A stop that a sensor told.

STOOD = KeptWatch(
    "ferry", "Night ferry", "wind-1", NOW - 40 * HOUR, None, stopped_at=NOW - HOUR, tell_from=NOW + 2 * HOUR
)


def test_a_stop_that_was_heard_calls_for_a_look_and_no_last_call() -> None:
    before = plan([replace(FERRY, started_at=NOW - 40 * HOUR)], [], 3, NOW - 10 * HOUR)
    ended, look = plan([STOOD], before, 3, NOW)
    assert (ended.kind, ended.state) == ("last call", "withdrawn")
    assert (look.kind, look.state, look.due_at, look.useful_until) == ("look", "planned", NOW + 2 * HOUR, NOW - HOUR)
    assert plan([STOOD], [look], 3, NOW + HOUR) == []


def test_a_stop_heard_long_ago_is_no_news() -> None:
    assert plan([replace(STOOD, stopped_at=NOW - 25 * HOUR)], [], 3, NOW) == []


def test_wound_after_the_stop_nothing_more_is_asked() -> None:
    (look,) = plan([STOOD], [], 3, NOW)
    closed, _ = plan([WOUND_AGAIN], [replace(look, state="due")], 3, NOW + 3 * HOUR)
    assert (closed.kind, closed.state, closed.closed_by) == ("look", "closed", "wound")


def test_a_stop_takes_the_place_of_the_look_that_was_offered() -> None:
    offered = plan([replace(FERRY, look_at=NOW + 20 * HOUR)], [], 3, NOW - HOUR)
    withdrawn, look = plan([STOOD], offered, 3, NOW)
    assert (withdrawn.state, look.state, look.ordinal) == ("withdrawn", "planned", 2)


# The last round before the wind-by.


@pytest.mark.parametrize(
    ("last_round_h", "in_digest", "due_h"),
    [
        (None, False, 17.0),
        (10.0, True, 17.0),
        (16.5, True, 17.5),
        (19.0, True, 19.5),
        (10.0, False, 10.0),
        (19.0, False, 17.0),
    ],
    ids=[
        "no round: at the notice",
        "named there: at the notice",
        "named shortly before the notice: an hour later",
        "named within the hour before: half way",
        "not named there: at that round",
        "not named there, and the notice is earlier: at the notice",
    ],
)
def test_a_last_call_goes_by_the_last_round(last_round_h: float | None, in_digest: bool, due_h: float) -> None:  # noqa: FBT001 -- a column of the table
    last_round = None if last_round_h is None else NOW + last_round_h * HOUR
    (planned,) = plan([replace(FERRY, last_round=last_round, in_digest=in_digest)], [], 3, NOW)
    assert planned.due_at == NOW + due_h * HOUR
