import random
import sys
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from tests.core.lives import life, lives
from tests.core.notes import evidence, log, read, told
from tests.core.oracle import on_grid, possible_steps, shortened
from tracker.core.evidence import Evidence
from tracker.core.rundown import run_downs
from tracker.core.timeline import Entry, Sighting, Wind
from tracker.core.watch import Watch
from tracker.core.wearfills import Worn

WATCH = Watch(uid="w", nickname="Night ferry")
AUTOMATIC = Watch(uid="a", nickname="Tide table", wound_by="crown and rotor")
ROUND_THE_DAY = Watch(uid="d", nickname="Signal mast", dial_hours=24)

ACTS = [
    *("wound, was going, left", "wound, had stopped, set now, showing 4:37", "wound, set now", "wound, left"),
    *("part wound", "unsure wound, was going", "seen going", "stopped", "stopped, showing 11:02"),
    *("stopped on purpose", "reading", "put on", "laid down", "service"),
]

slow = settings(
    max_examples=200,
    deadline=None,  # the oracle tries every life
    derandomize=True,
    suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow],
)


# The table of evidence, line by line.


def test_found_stopped_after_it_was_seen_going_is_between() -> None:
    assert evidence("""
        2026-03-02 08:00  wound
        2026-03-03 20:00  seen going
        2026-03-04 07:00  stopped
    """) == ["between 36–47"]


def test_found_stopped_and_never_seen_going_is_at_most() -> None:
    assert evidence("""
        2026-03-02 08:00  wound
        2026-03-04 07:00  wound, had stopped
    """) == ["at_most 0–47"]


def test_rewound_while_going_is_at_least() -> None:
    assert evidence("""
        2026-03-02 08:00  wound
        2026-03-03 08:00  wound, was going
        2026-03-04 07:30  wound, was going
    """) == ["at_least 24–inf", "at_least 23.5–inf"]


def test_rewound_with_no_word_of_its_state_is_never_read_as_going() -> None:
    history = read("""
        2026-03-02 08:00  wound
        2026-03-02 20:00  seen going
        2026-03-03 08:00  wound
        2026-03-04 08:00  wound
    """)
    assert [run.evidence.spans_h[:1] for run in history.runs] == [((12.0, np.inf),), ()]
    assert [run.reason for run in history.runs] == [None, "not seen going"]
    assert {run.ended_by for run in history.runs} == {"rewound, not noticed"}


def test_a_hand_wound_watch_put_on_or_laid_down_is_going() -> None:
    assert evidence("""
        2026-03-02 08:00  wound
        2026-03-03 07:00  put on
        2026-03-03 22:00  laid down
        2026-03-04 08:00  stopped
    """) == ["between 38–48"]


@pytest.mark.parametrize("what", ["stopped", "wound, had stopped"])
def test_taken_up_and_found_stopped_at_once_it_was_not_going(what: str) -> None:
    assert evidence(f"""
        2026-03-02 08:00  wound
        2026-03-04 07:58  put on
        2026-03-04 08:00  {what}
    """) == ["at_most 0–48"]


def test_stopped_on_purpose_is_at_least_up_to_then() -> None:
    history = read("""
        2026-03-02 08:00  wound
        2026-03-03 08:00  stopped on purpose
        2026-03-05 08:00  stopped
    """)
    assert history.runs[0].evidence == Evidence("at_least", ((24.0, np.inf),))
    assert history.runs[0].ended_by == "stopped on purpose"
    assert (history.last.state, history.last.uid) == ("stopped", "2")


def test_a_service_in_mid_run_ends_it_at_what_was_known_before() -> None:
    history = read("""
        2026-03-02 08:00  wound
        2026-03-03 09:00  seen going
        2026-05-01 12:00 ±720  service
        2026-05-02 08:00  wound
        2026-05-03 08:00  wound, was going
    """)
    before, after = history.runs
    assert (before.evidence.spans_h, before.ended_by) == (((25.0, np.inf),), "service")
    assert (before.service_at, after.service_at) == (None, history.services[0])


def test_test_runs_belong_to_the_service_before_them() -> None:
    notes = log("""
        2026-01-10 08:00       wound
        2026-01-12 08:00       stopped
        2026-02-01 12:00 ±720  service
        2026-02-01 10:00       wound
        2026-02-03 08:00       stopped
        2026-02-20 08:00       wound
        2026-02-22 08:00       stopped
        2026-03-01 12:00 ±720  service
        2026-03-02 08:00       wound
        2026-03-04 08:00       stopped
    """)
    history = run_downs(WATCH, notes)
    first, second = history.services
    assert [run.service_at for run in history.runs] == [None, first, first, second]
    assert [run.service_at for run in run_downs(WATCH, notes[:7] + notes[8:]).runs] == [None, first, first, first]
    back_dated = replace(notes[7], at=notes[7].at - timedelta(days=10))
    moved = run_downs(WATCH, [*notes[:7], back_dated, *notes[8:]])
    assert [run.service_at for run in moved.runs] == [None, first, back_dated.at, back_dated.at]


def test_a_part_wind_ends_a_run_and_starts_none_that_tells() -> None:
    history = read("""
        2026-03-02 08:00  wound
        2026-03-03 08:00  part wound, was going
        2026-03-05 08:00  wound, had stopped
    """)
    full, part = history.runs
    assert (full.evidence.spans_h, full.ended_by) == (((24.0, np.inf),), "part wind")
    assert (part.evidence.kind, part.reason, part.ended_by) == ("none", "part wind", "found stopped")


def test_an_unsure_wind_leaves_lower_ends_only() -> None:
    history = read("""
        2026-03-02 08:00  unsure wound
        2026-03-03 08:00  seen going
        2026-03-04 08:00  wound, had stopped
        2026-03-05 08:00  unsure wound, was going
        2026-03-07 08:00  wound, had stopped
    """)
    assert [run.evidence.kind for run in history.runs] == ["at_least", "at_least", "none"]
    assert history.runs[0].evidence.spans_h[0][0] == 24
    assert history.runs[2].reason == "unsure wind"


def test_stopped_then_going_without_a_winding_ended_at_the_stop() -> None:
    history = read("""
        2026-03-02 08:00  wound, set now
        2026-03-04 08:00  stopped
        2026-03-04 09:00  seen going
        2026-03-04 22:00  stopped, showing 4:00
    """)
    assert [run.evidence for run in history.runs] == [Evidence("at_most", ((0.0, 48.0),))]
    assert history.current is None


def test_wound_and_said_to_be_going_after_a_stop_the_stop_stands() -> None:
    assert evidence("""
        2026-03-02 08:00  wound, set now
        2026-03-04 08:00  stopped
        2026-03-04 09:00  wound, was going, left
        2026-03-06 09:00  stopped, showing 4:00
    """) == ["at_most 0–48", "at_most 0–48"]


@pytest.mark.parametrize(
    ("used", "what"),
    [
        ("seen going, side spring\n2026-03-04 07:00 stopped", "at_least 36–inf"),
        ("seen going\n2026-03-04 07:00 stopped, side spring", "at_least 36–inf"),
        ("seen going\n2026-03-04 07:00 stopped, showing 4:37, side spring", "at_least 44.419–inf"),
        ("seen going\n2026-03-04 07:00 stopped\n2026-03-05 07:00 wound, had stopped, side spring", "at_least 36–inf"),
        ("reading\n2026-03-04 07:00 stopped, side spring", "none"),
        ("seen going\n2026-03-04 07:00 wound, was going, side spring", "at_least 47–inf"),
    ],
)
def test_a_chronograph_or_an_alarm_leaves_lower_ends_only(used: str, what: str) -> None:
    text = f"2026-03-02 08:00 wound, set now\n2026-03-03 20:00 {used}"
    (run,) = read(text).runs
    assert run.side_spring_used
    assert (evidence(text), run.reason) == ([what], "side spring" if what == "none" else None)


def test_what_was_used_before_a_winding_shortens_no_run_after_it() -> None:
    history = read("""
        2026-03-02 08:00  wound
        2026-03-03 08:00  wound, was going, side spring
        2026-03-03 08:10  wound, side spring
        2026-03-05 08:00  stopped
    """)
    assert [(told(run.evidence), run.side_spring_used) for run in history.runs] == [
        ("at_least 24–inf", True),
        ("at_most 0–48", False),
    ]


@pytest.mark.parametrize("found", ["going", "stopped", "not noticed"])
def test_a_stop_as_soon_as_it_was_wound_is_no_run_down(found: str) -> None:
    words = {"going": "wound, was going", "stopped": "wound, had stopped", "not noticed": "wound"}[found]
    history = read(f"2026-03-02 08:00 {words}\n2026-03-02 08:10 stopped")
    assert [(run.evidence.kind, run.reason) for run in history.runs] == [("none", "at once")]
    assert history.last.state == "stopped"


@pytest.mark.parametrize(
    ("wound", "seen"), [("09:00 ±180", "10:30"), ("07:30 ±10", "07:43"), ("07:30 ±10", "07:37 ±5")]
)
@pytest.mark.parametrize("found", [", had stopped", ""])
def test_a_winding_said_late_makes_no_short_run_of_the_stop_it_answered(wound: str, seen: str, found: str) -> None:
    history = read(f"""
        2026-03-01 08:00          wound
        2026-03-02 {wound}  wound{found}
        2026-03-02 {seen}  stopped
    """)
    assert [run.wind_uid for run in history.runs] == ["1"]
    assert history.current is not None
    assert history.current.wind_uid == "2"


def test_an_indicator_reading_says_nothing_of_the_state() -> None:
    assert evidence("""
        2026-03-02 08:00  wound
        2026-03-03 20:00  reading
        2026-03-04 07:00  stopped
    """) == ["at_most 0–47"]


def test_two_full_winds_within_a_quarter_of_an_hour_are_one() -> None:
    history = read("""
        2026-03-02 08:00  wound
        2026-03-02 08:12  wound, had stopped
        2026-03-03 08:12  wound, was going
    """)
    assert [(run.wind_uid, told) for run, told in zip(history.runs, history.runs[0].evidence.spans_h, strict=True)] == [
        ("1", (24.0, np.inf))
    ]


def test_the_second_of_two_people_who_found_it_stopped_was_mistaken_and_is_told_so() -> None:
    text = "2026-03-02 08:00 wound\n2026-03-02 08:12 wound, had stopped\n2026-03-03 08:12 wound, was going"
    assert read(text).flaws == (("2", "already wound"),)
    undone = run_downs(WATCH, log(text)[1:])
    assert undone.flaws == ()
    assert [(run.wind_uid, told(run.evidence)) for run in undone.runs] == [("2", "at_least 24–inf")]


def test_full_winds_that_follow_each_other_within_one_act_are_one_however_many() -> None:
    history = read("""
        2026-03-02 08:00  wound
        2026-03-02 08:10  wound, was going
        2026-03-02 08:20  wound, had stopped
        2026-03-04 08:00  stopped
        2026-03-05 08:00  wound
        2026-03-05 08:16  wound, was going
    """)
    assert [(run.wind_uid, run.evidence.kind) for run in history.runs] == [("1", "at_most"), ("5", "at_least")]


def test_wear_ends_a_run_of_an_automatic_where_it_was_last_seen_going() -> None:
    history = read(
        """
        2026-03-02 08:00  wound
        2026-03-02 20:00  seen going
        2026-03-03 07:00  put on
        2026-03-03 12:00  seen going
        2026-03-03 22:00  laid down
        2026-03-06 08:00  stopped
        """,
        wound_by="crown and rotor",
    )
    assert [(run.evidence.spans_h, run.ended_by) for run in history.runs] == [
        (((12.0, np.inf),), "worn"),
        (((0.0, 58.0),), "found stopped"),
    ]


@pytest.mark.parametrize(
    "worn",
    ["2026-03-02 07:55 put on\n2026-03-02 08:00 wound", "2026-03-02 08:00 wound\n2026-03-02 22:00 laid down"],
)
def test_an_automatic_wound_on_the_wrist_tells_nothing(worn: str) -> None:
    history = read(f"{worn}\n2026-03-05 08:00 wound, had stopped", wound_by="crown and rotor")
    assert [(run.evidence.kind, run.reason) for run in history.runs if run.started_by == "crown"] == [("none", "worn")]


# Widths.


def test_widths_of_the_times_widen_the_evidence() -> None:
    assert evidence("""
        2026-03-02 08:00 ±20  wound
        2026-03-03 20:00 ±5   seen going
        2026-03-04 07:00 ±180 stopped
    """) == ["between 35.5833–50.3333"]


def test_the_order_of_the_notes_narrows_their_widths() -> None:
    assert evidence("""
        2026-03-02 08:00       wound
        2026-03-03 19:00       seen going
        2026-03-03 20:00 ±180  seen going
        2026-03-04 07:00 ±180  stopped
        2026-03-04 08:00       wound
    """) == ["between 35–48"]


# The hands.


def test_hands_within_half_a_day_tell_the_moment() -> None:
    assert evidence("""
        2026-03-02 08:00  wound, set now
        2026-03-03 20:00  seen going
        2026-03-04 07:00  stopped, showing 4:37
    """) == ["one_of 44.419–44.8143"]


def test_hands_over_a_longer_bracket_leave_a_few_moments() -> None:
    assert evidence("""
        2026-03-02 08:00  wound, set now
        2026-03-03 10:00  seen going
        2026-03-04 22:00  wound, had stopped, showing 4:37
    """) == ["one_of 32.4273–32.806 or 44.419–44.8143 or 56.4107–56.8227"]


def test_moments_are_cut_to_the_bracket_before_the_wind_widens_them() -> None:
    assert evidence("""
        2026-03-02 08:00 ±30  wound, set now
        2026-03-03 20:00      seen going
        2026-03-03 20:30      stopped, showing 8:30
    """) == ["one_of 35.8076–37"]


def test_moments_widened_into_each_other_are_one() -> None:
    assert evidence("""
        2026-03-02 08:00 ±370  wound, set now
        2026-03-03 20:00       seen going
        2026-03-04 22:00       stopped, showing 4:37
    """) == ["one_of 38.2481–62.9936"]


def test_hands_that_leave_one_moment_to_the_minute_are_exact() -> None:
    """After two days the hands are good to 12 minutes: the stop came at the very moment it was last seen."""
    assert evidence("""
        2026-03-02 08:00  wound, set now
        2026-03-04 08:12  seen going
        2026-03-04 12:00  stopped, showing 8:00
    """) == ["exact 48.2–48.2"]


@pytest.mark.parametrize(
    ("hands", "told"),
    [("left", "one_of"), ("unknown", "at_most"), ("not set", "at_most"), ("set now", "one_of")],
)
def test_hands_count_from_their_last_setting(hands: str, told: str) -> None:
    (_, run) = evidence(f"""
        2026-03-02 08:00  wound, set now
        2026-03-03 08:00  wound, was going, {hands}
        2026-03-05 07:00  stopped, showing 4:37
    """)
    assert run.split()[0] == told


def test_hands_left_but_not_seen_going_may_have_stood_still() -> None:
    assert (
        evidence("""
        2026-03-02 08:00  wound, set now
        2026-03-03 08:00  wound, left
        2026-03-05 07:00  stopped, showing 4:37
    """)[1]
        == "at_most 0–47"
    )


def test_hands_of_a_watch_that_was_lifted_tell_nothing_until_set() -> None:
    assert evidence("""
        2026-03-02 08:00  wound, set now
        2026-03-04 08:00  stopped
        2026-03-04 09:00  seen going
        2026-03-04 10:00  wound, was going, left
        2026-03-06 09:00  stopped, showing 4:00
    """) == ["at_most 0–48", "at_most 0–47"]


def test_hands_say_that_a_loosely_timed_rewinding_came_no_earlier() -> None:
    assert evidence("""
        2026-03-02 08:00       wound, set now
        2026-03-03 20:00       seen going
        2026-03-04 03:00 ±180  wound, had stopped, showing 1:00
        2026-03-05 03:00       stopped
    """) == ["one_of 40.8049–41.1951", "at_most 0–26.1951"]


def test_hands_say_that_a_loosely_timed_winding_came_no_later() -> None:
    assert evidence("""
        2026-03-02 08:00       wound
        2026-03-04 20:00 ±180  wound, had stopped, set now
        2026-03-05 05:00       stopped, showing 9:00
    """) == ["at_most 0–61.1694", "one_of 0–4.16944"]


def test_after_a_service_hands_tell_nothing_until_set() -> None:
    assert evidence("""
        2026-03-02 08:00  wound, set now
        2026-03-02 12:00  service
        2026-03-03 08:00  wound, was going, left
        2026-03-05 07:00  stopped, showing 4:37
    """) == ["none", "at_most 0–47"]


def test_hands_that_fit_no_moment_are_a_flaw_and_the_bracket_stays() -> None:
    history = read("""
        2026-03-02 08:00  wound, set now
        2026-03-03 20:00  seen going
        2026-03-03 23:00  stopped, showing 4:37
    """)
    assert history.runs[0].evidence == Evidence("between", ((36.0, 39.0),))
    assert history.flaws == (("3", "hands fit no moment"),)


def test_hands_read_differently_later_are_a_flaw_and_the_first_counts() -> None:
    history = read("""
        2026-03-02 08:00  wound, set now
        2026-03-03 20:00  seen going
        2026-03-04 07:00  stopped, showing 4:37
        2026-03-04 09:00  wound, had stopped, showing 9:00
    """)
    assert history.runs[0].evidence.spans_h[0] == pytest.approx((44.4191, 44.8143), abs=1e-4)
    assert history.flaws == (("4", "hands read differently"),)


@pytest.mark.parametrize(
    ("zone", "set_at", "found_at"),
    [
        ("Europe/Berlin", "2026-03-28 20:00", "2026-03-29 09:00"),
        ("Europe/Berlin", "2026-10-24 20:00", "2026-10-25 07:00"),
        ("America/New_York", "2026-03-07 20:00", "2026-03-08 09:00"),
        ("America/New_York", "2026-10-31 20:00", "2026-11-01 07:00"),
        ("Australia/Lord_Howe", "2026-04-04 20:00", "2026-04-05 07:30"),
        ("Australia/Lord_Howe", "2026-10-03 20:00", "2026-10-04 08:30"),
    ],
)
def test_on_a_dst_night_the_hands_go_on_as_they_were_set(zone: str, set_at: str, found_at: str) -> None:
    """Set to 8 in the evening and showing 4:37, it has gone for 8 h 37 min, whatever the clocks on the wall did."""
    (run,) = read(f"{set_at} wound, set now\n{found_at} stopped, showing 4:37", zone).runs
    assert run.evidence.kind == "one_of"
    (span,) = run.evidence.spans_h
    drift_min = (8 + 37 / 60) / 24
    assert span == pytest.approx((8 + (37 - 10 - drift_min) / 60, 8 + (47 + drift_min) / 60), abs=1e-4)


def test_hands_set_while_the_clocks_changed_tell_nothing() -> None:
    assert evidence(
        """
        2026-03-28 23:00 ±180  wound, set now
        2026-03-29 20:00       stopped, showing 4:37
        """,
        "Europe/Berlin",
    ) == ["at_most 0–23"]


def test_a_date_set_along_tells_the_day() -> None:
    assert evidence("""
        2026-03-02 08:00  wound, set now, date set
        2026-03-03 10:00  seen going
        2026-03-05 07:00  stopped, showing 7:37 on 3
    """) == ["one_of 35.4253–35.8081"]


@pytest.mark.parametrize("date", [31, 1])
def test_after_a_short_month_a_date_counted_on_fits_and_one_put_right_too(date: int) -> None:
    (run,) = evidence(f"""
        2026-04-30 08:00  wound, set now, date set
        2026-05-01 10:00  seen going
        2026-05-02 04:00  stopped, showing 5:00 on {date}
    """)
    assert run == "one_of 32.8104–33.1896"


def test_a_date_that_fits_no_day_is_a_flaw_and_the_hands_count_alone() -> None:
    history = read("""
        2026-03-02 08:00  wound, set now, date set
        2026-03-03 20:00  seen going
        2026-03-04 07:00  stopped, showing 4:37 on 20
    """)
    assert [told(run.evidence) for run in history.runs] == ["one_of 44.419–44.8143"]
    assert history.flaws == (("3", "date fits no moment"),)


def test_a_date_left_alone_counts_from_its_setting() -> None:
    (_, run) = evidence("""
        2026-03-02 08:00  wound, set now, date set
        2026-03-03 08:00  wound, was going, left
        2026-03-05 22:00  stopped, showing 4:37 on 4
    """)
    assert run.count(" or ") == 1


def test_hands_not_set_ran_on_from_where_they_stood() -> None:
    assert evidence("""
        2026-03-01 08:00  wound
        2026-03-02 07:00  stopped, showing 4:37
        2026-03-02 08:00  wound, had stopped, not set
        2026-03-03 20:00  seen going
        2026-03-04 07:00  stopped, showing 1:00
    """)[1:] == ["one_of 44.0192–44.7475"]


@pytest.mark.parametrize("width", [0, 30, 180])
def test_hands_not_set_count_the_hours_from_their_start_however_loosely_it_is_timed(width: int) -> None:
    """4:37 to 1:00 are 8 h 23 min and whole turns, each reading within ten minutes, and a minute a day."""
    (run,) = evidence(f"""
        2026-03-01 08:00           wound
        2026-03-02 07:00           stopped, showing 4:37
        2026-03-02 10:00 ±{width}  wound, had stopped, not set
        2026-03-04 02:00           seen going
        2026-03-04 07:00           stopped, showing 1:00
    """)[1:]
    assert run == "one_of 44.0192–44.7475"


def test_hands_that_ran_on_say_when_a_loosely_timed_winding_was() -> None:
    """The watch ran at least 8 h 3 min to a stop seen at half past three: it was wound by half past seven, not at ten."""
    history = read("""
        2026-03-01 08:00       wound
        2026-03-02 07:00 ±180  wound, had stopped, not set, showing 4:37
        2026-03-02 15:30       stopped, showing 1:00
    """)
    assert [told(run.evidence) for run in history.runs] == ["at_most 0–23.4558", "one_of 8.04418–8.72249"]


def test_hands_not_set_and_left_when_wound_again_still_count_from_their_start() -> None:
    assert evidence("""
        2026-03-01 08:00       wound
        2026-03-02 07:00       stopped, showing 4:37
        2026-03-02 10:00 ±180  wound, had stopped, not set
        2026-03-03 10:00       wound, was going, left
        2026-03-04 10:00       seen going
        2026-03-04 22:00       stopped, showing 5:00
    """)[-1:] == ["one_of 24–27.7503 or 33.0081–36"]


@pytest.mark.parametrize(("seen", "told"), [("2026-03-02 20:00", "one_of"), ("2026-03-02 18:00", "at_most")])
def test_hands_run_on_through_wear_if_it_was_surely_going(seen: str, told: str) -> None:
    (run,) = evidence(
        f"""
        2026-03-02 08:00  wound, set now
        {seen}            seen going
        2026-03-03 07:00  put on
        2026-03-05 22:00  laid down
        2026-03-07 08:00  stopped, showing 4:37
        """,
        wound_by="crown and rotor",
    )[-1:]
    assert run.split()[0] == told


def test_hands_not_set_and_never_read_tell_nothing() -> None:
    assert evidence("""
        2026-03-01 08:00  wound, set now
        2026-03-02 08:00  wound, had stopped, not set
        2026-03-04 07:00  stopped, showing 1:00
    """)[1:] == ["at_most 0–47"]


@pytest.mark.parametrize("zone", ["Asia/Tokyo", "America/New_York", "Pacific/Kiritimati"])
def test_a_journey_after_the_hands_were_set_changes_nothing(zone: str) -> None:
    notes = log("""
        2026-03-02 08:00  wound, set now, date set
        2026-03-03 08:00  wound, was going, left
        2026-03-04 10:00  seen going
        2026-03-05 22:00  stopped, showing 4:37 on 5
        2026-03-05 23:00  wound, had stopped, not set
        2026-03-07 20:00  stopped, showing 11:00
    """)
    away = [notes[0], *(replace(note, zone=zone) for note in notes[1:])]
    assert run_downs(WATCH, away) == run_downs(WATCH, notes)


# What holds for every log.


@pytest.mark.parametrize(("watch", "count"), [(WATCH, 250), (AUTOMATIC, 250), (ROUND_THE_DAY, 80)])
def test_evidence_is_all_that_the_notes_imply_and_no_more(watch: Watch, count: int) -> None:
    for seed in range(count):
        _assert_all_implied(watch, life(watch, seed), seed)


@pytest.mark.parametrize(
    "text",
    [
        """
        2026-03-02 08:00       wound, set now
        2026-03-03 20:00       seen going
        2026-03-04 03:00 ±180  wound, had stopped, showing 1:00
        2026-03-05 03:00       stopped
        """,
        """
        2026-03-02 08:00       wound
        2026-03-04 07:00 ±180  wound, had stopped, set now
        2026-03-04 20:00       stopped, showing 8:00
        """,
        """
        2026-03-02 08:00 ±180  wound, had stopped, not set, showing 4:30
        2026-03-02 20:00 ±180  wound, was going, left
        2026-03-03 20:00       stopped, showing 8:00
        """,
        """
        2026-03-01 08:00       wound
        2026-03-02 07:00 ±180  wound, had stopped, not set, showing 4:37
        2026-03-02 15:30       stopped, showing 1:00
        """,
    ],
)
def test_evidence_is_all_that_these_notes_imply_and_no_more(text: str) -> None:
    _assert_all_implied(WATCH, log(text))


@slow
@given(lives(WATCH), st.data())
def test_a_sighting_that_agrees_never_widens(notes: list[Entry], data: st.DataObject) -> None:
    looks = [note for note in notes if isinstance(note, Sighting) and note.seen != "stopped on purpose"]
    # A sensor that had lost the watch can end its run, but not tell how long it was.
    looks = [note for note in looks if not note.side_spring_used and not note.by_sensor]
    assume(looks)
    one = data.draw(st.sampled_from(looks))
    with_it = run_downs(WATCH, notes).runs
    without = run_downs(WATCH, [note for note in notes if note is not one]).runs
    known = {run.wind_uid: run for run in with_it}
    assert {run.wind_uid for run in without} <= set(known)
    for run in without:
        assert not np.any(on_grid(known[run.wind_uid].evidence) & ~on_grid(run.evidence))


@slow
@given(lives(WATCH), st.randoms(use_true_random=False))
def test_the_order_of_entry_does_not_matter(notes: list[Entry], chance: random.Random) -> None:
    shuffled = notes.copy()
    chance.shuffle(shuffled)
    for watch in (WATCH, AUTOMATIC):
        assert run_downs(watch, shuffled) == run_downs(watch, notes)


@slow
@given(lives(WATCH), st.integers(-30_000, 30_000))
def test_moving_the_whole_log_in_time_changes_no_hours(notes: list[Entry], hours: int) -> None:
    notes = [_undated(note) for note in notes]
    moved = [_moved(note, hours) for note in notes]
    assert _evidence(moved) == _evidence(notes)


@slow
@given(
    lives(WATCH),
    st.sampled_from(["Europe/Berlin", "America/New_York", "Australia/Lord_Howe"]),
    st.sampled_from([26, 35, 33 + 180, 237, 216, 244]),
)
def test_evidence_is_the_same_in_every_zone(notes: list[Entry], zone: str, days: int) -> None:
    """The hands show the wall time of the zone as it was when they were set."""
    notes = [_undated(note) for note in notes]
    there = _set_in(zone, [_moved(note, days * 24) for note in notes])
    assume(there is not None)
    assert _evidence(there or []) == _evidence(notes)


@slow
@given(st.lists(st.tuples(st.integers(0, 400), st.integers(0, 40), st.sampled_from(ACTS)), max_size=12))
def test_notes_that_contradict_each_other_are_no_error(noted: list[tuple[int, int, str]]) -> None:
    start = datetime(2026, 3, 27, tzinfo=UTC)
    text = "\n".join(
        f"{start + timedelta(minutes=15 * at):%Y-%m-%d %H:%M} ±{within} {act}" for at, within, act in noted
    )
    for watch in (WATCH, AUTOMATIC):
        history = run_downs(watch, log(text, "Europe/Berlin") if text else [])
        spans = [span for run in history.runs for span in run.evidence.spans_h]
        assert all(0 <= low <= high for low, high in spans)
        assert all((run.reason is None) == (run.evidence.kind != "none") for run in history.runs)


def test_ten_years_of_daily_winding_are_read_in_one_go() -> None:
    assert _calls(365 * 10) < 2.1 * _calls(365 * 5)


def _assert_all_implied(watch: Watch, notes: list[Entry], seed: int | None = None) -> None:
    possible, used = possible_steps(watch, notes), shortened(watch, notes)
    for run in run_downs(watch, notes).runs:
        implied = possible[run.wind_uid]
        if run.amount == "unsure" or run.wind_uid in used:
            implied = np.logical_or.accumulate(implied)
        if run.amount == "part":
            implied = np.ones_like(implied)
        assert np.array_equal(on_grid(run.evidence), implied), (watch.nickname, seed, run)


def _evidence(notes: list[Entry]) -> list[Evidence]:
    return [run.evidence for run in run_downs(WATCH, notes).runs]


def _undated(note: Entry) -> Entry:
    """Days of the month do not move along."""
    if isinstance(note, Wind | Sighting) and note.shown:
        return replace(note, shown=replace(note.shown, date=None))
    return note


def _moved(note: Entry, hours: int) -> Entry:
    note = replace(note, at=note.at + timedelta(hours=hours))
    if isinstance(note, Wind | Sighting) and note.shown:
        return replace(note, shown=replace(note.shown, minutes=(note.shown.minutes + hours * 60) % 720))
    return note


def _set_in(zone: str, notes: list[Entry]) -> list[Entry] | None:
    there: list[Entry] = []
    offset = timedelta(0)
    for note in notes:
        entry = replace(note, zone=zone)
        if isinstance(entry, Wind | Sighting) and entry.shown:
            minutes = (entry.shown.minutes + offset // timedelta(minutes=1)) % 720
            entry = replace(entry, shown=replace(entry.shown, minutes=minutes))
        if isinstance(entry, Wind) and entry.hands == "set now":
            width = timedelta(minutes=entry.within_min)
            early, late = ((entry.at + side).astimezone(ZoneInfo(zone)).utcoffset() for side in (-width, width))
            if early is None or early != late:
                return None
            offset = early
        there.append(entry)
    return there


def _calls(days: int) -> int:
    """Python calls it takes to read so many days of a watch wound each morning and seen each night."""
    first = log("2016-01-01 08:00 wound, was going, left\n2016-01-01 22:00 seen going")
    notes = [
        replace(note, uid=f"{day}.{note.uid}", at=note.at + timedelta(days=day))
        for day in range(days)
        for note in first
    ]
    count = 0

    def counted(*_: object) -> None:
        nonlocal count
        count += 1

    sys.setprofile(counted)
    try:
        history = run_downs(WATCH, notes)
    finally:
        sys.setprofile(None)
    assert len(history.runs) == days - 1
    return count


INDICATED = """
2026-03-01 08:00 wound, had stopped
2026-03-01 08:10 reading, indicator 1.0
2026-03-03 08:00 stopped, indicator 0.0
2026-03-03 09:00 wound, had stopped
2026-03-04 09:00 seen going, indicator 0.4
2026-03-04 10:00 wound, was going
"""


def test_a_reading_tells_of_the_whole_run_once_both_ends_of_the_scale_were_seen() -> None:
    """Of 24 h of going 60 % of the scale are gone, which is read to a tenth: 24 / 0.7 to 24 / 0.5 h."""
    watch = Watch(uid="w", nickname="w", indicator="fraction")
    (_, read_of) = run_downs(watch, log(INDICATED)).runs
    assert told(read_of.evidence) == "between 34.2857–48"
    (_, one_end) = run_downs(watch, log(INDICATED.replace("stopped, indicator 0.0", "stopped"))).runs
    assert told(one_end.evidence) == "at_least 25–inf"


def test_a_reading_of_little_gone_tells_nothing_of_the_whole() -> None:
    watch = Watch(uid="w", nickname="w", indicator="fraction")
    (_, early) = run_downs(watch, log(INDICATED.replace("indicator 0.4", "indicator 0.7"))).runs
    assert told(early.evidence) == "at_least 25–inf"


def test_what_it_ran_on_after_wear_from_a_standstill_is_kept() -> None:
    history = read(
        """
        2026-03-01 07:00 stopped
        2026-03-01 08:00 put on
        2026-03-01 12:00 laid down
        2026-03-01 22:00 seen going
        2026-03-02 00:00 stopped
        2026-03-02 08:00 put on
        2026-03-02 10:00 laid down
        2026-03-02 16:00 put on
    """,
        wound_by="crown and rotor",
    )
    assert history.worn == (Worn(4.0, 10.0, 12.0), Worn(2.0, 0.0, None, again_h=6.0))
