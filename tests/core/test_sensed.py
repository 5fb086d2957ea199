"""A log and what sensors heard, brought together: each rule as a small story. The 1 % point of every run is 34 h."""

from datetime import UTC, datetime

import pytest

from tests.core.hearing import answered, at_34_h, heard, history, told
from tests.core.notes import log
from tests.core.notes import told as said
from tracker.core.heard import Heard
from tracker.core.sensed import sensed
from tracker.core.timeline import OnWinder, Sighting, Silent
from tracker.core.watch import Watch

WOUND = "2026-03-02 08:00  wound"
TO_THE_STOP = "2026-03-02 08:05 – 2026-03-04 00:00  stopped"
TOO_SOON = "2026-03-02 08:05 – 2026-03-03 08:00  stopped"


def runs(notes: str, what: Heard) -> list[str]:
    return [said(run.evidence) for run in history(notes, what).runs]


def asked(notes: str, what: Heard) -> list[str]:
    return [f"{each.asking} {each.since:%d %H:%M}–{each.until:%d %H:%M}" for each in told(notes, what).questions]


# A stop.


def test_a_stop_that_a_sensor_heard_ends_the_run_to_the_minute() -> None:
    found = history(WOUND, heard(TO_THE_STOP))
    assert [said(run.evidence) for run in found.runs] == ["between 40–40.0167"]
    assert found.runs[0].ended_by == "stop heard"
    assert found.last.state == "stopped"
    assert asked(WOUND, heard(TO_THE_STOP)) == []


def test_a_stop_in_an_outage_lies_somewhere_in_it() -> None:
    lost = heard("2026-03-02 08:05 – 2026-03-03 20:00  lost, stopped 2026-03-04 06:00")
    assert runs(WOUND, lost) == ["between 36–46"]


def test_silence_alone_is_never_a_stop() -> None:
    lost = heard("2026-03-02 08:05 – 2026-03-04 00:00  lost")
    found = history(WOUND, lost)
    assert found.runs == ()
    assert found.current is not None
    assert found.current.seen_going_h == 40


def test_hands_read_at_the_stop_agree_with_the_sensor() -> None:
    notes = "2026-03-02 08:00  wound, set now\n2026-03-04 09:00  stopped, showing 0:03"
    assert runs(notes, heard(TO_THE_STOP)) == ["one_of 40–40.0167"]


def test_a_stop_without_a_known_winding_is_asked_about_and_says_nothing() -> None:
    found = history("", heard(TO_THE_STOP))
    assert (found.runs, found.last.state) == ((), "unknown")
    assert asked("", heard(TO_THE_STOP)) == ["lifted or stopped 04 00:00–04 00:01"]


# Lifted.


@pytest.mark.parametrize(
    "then",
    [
        "2026-03-04 00:05  put on",
        "2026-03-05 19:00  put on",
        "2026-03-03 23:59 ±2  wound, was going",
        "2026-03-04 00:05  wound, was going",
        "2026-03-06 07:30 ±180  wound, was going",
        "2026-03-04 07:30  seen going",
        "2026-03-04 07:30  stopped on purpose",
        "2026-03-04 07:30  laid down",
    ],
)
def test_what_proves_that_it_was_only_away_makes_no_run_down(then: str) -> None:
    told_of = runs(f"{WOUND}\n{then}", heard(TO_THE_STOP))
    assert all(each.startswith("at_least") for each in told_of)
    assert asked(f"{WOUND}\n{then}", heard(TO_THE_STOP)) == []


def test_going_again_without_a_winding_was_lifted_and_may_have_been_wound() -> None:
    back = heard(f"{TO_THE_STOP}\n2026-03-04 00:20 – 2026-03-04 09:00  lost")
    found = history(WOUND, back)
    assert found.runs == ()
    assert found.last.state == "going"
    assert found.current is not None
    assert (found.current.seen_going_h, found.current.heard_on) == (40, False)
    assert asked(WOUND, back) == ["wound 04 00:00–04 00:20"]


def test_before_the_one_per_cent_point_it_is_lifted_or_stopped() -> None:
    found = history(WOUND, heard(TOO_SOON))
    assert (found.runs, found.last.state) == ((), "unknown")
    assert found.current is not None
    assert found.current.seen_going_h == 24
    assert asked(WOUND, heard(TOO_SOON)) == ["lifted or stopped 03 08:00–03 08:01"]


def test_a_winding_soon_after_whose_state_nobody_noted_leaves_it_open() -> None:
    soon, late = f"{WOUND}\n2026-03-04 01:00  wound", f"{WOUND}\n2026-03-04 07:00  wound"
    assert runs(soon, heard(TO_THE_STOP)) == ["at_least 40–inf"]
    assert asked(soon, heard(TO_THE_STOP)) == ["lifted or stopped 04 00:00–04 00:01"]
    assert runs(late, heard(TO_THE_STOP)) == ["between 40–40.0167"]


def test_a_watch_put_on_is_no_longer_heard_until_it_is_laid_down() -> None:
    notes = f"{WOUND}\n2026-03-03 08:00  put on"
    other = "2026-03-02 08:05 – 2026-03-03 08:02  lost\n2026-03-03 10:00 – 2026-03-04 12:00  stopped"
    assert history(notes, heard(other)).last.since == history(notes, Heard()).last.since
    laid = f"{notes}\n2026-03-03 09:58  laid down"
    assert runs(laid, heard(other)) == ["between 52–52.0167"]


def test_a_watch_on_a_winder_is_no_longer_heard_until_it_is_taken_off() -> None:
    winder = Watch(uid="a", nickname="Tide table", wound_by="rotor only")
    other = heard("2026-03-02 08:05 – 2026-03-03 08:02  lost\n2026-03-03 10:00 – 2026-03-04 12:00  stopped")
    on = OnWinder(uid="on", at=datetime(2026, 3, 3, 8, tzinfo=UTC), zone="UTC", act="on")
    off = OnWinder(uid="off", at=datetime(2026, 3, 3, 9, 58, tzinfo=UTC), zone="UTC", act="off")

    def heard_on_the_fourth(*noted: OnWinder) -> bool:
        notes = sensed(winder, [*log(WOUND), *noted], other, at_34_h).notes
        return any(isinstance(note, Sighting | Silent) and note.at.day == 4 for note in notes)

    assert [heard_on_the_fourth(), heard_on_the_fourth(on), heard_on_the_fourth(on, off)] == [True, False, True]


def test_found_standing_it_is_no_longer_worn() -> None:
    notes = f"{WOUND}\n2026-03-03 08:00  put on\n2026-03-05 08:00 ±2  wound, had stopped"
    assert runs(notes, heard("2026-03-05 08:01 – 2026-03-07 01:00  stopped"))[-1] == "between 40.9833–41.3"


def test_lies_here_now_ends_the_time_it_was_worn() -> None:
    notes = f"{WOUND}\n2026-03-03 08:00  put on"
    back = "2026-03-03 10:00 – 2026-03-04 12:00  stopped"
    assert runs(notes, heard(back)) == []
    assert runs(notes, heard(back, laid=["2026-03-03 09:58"])) == ["between 52–52.0167"]


# The owner's answers.


def test_the_owner_settles_what_was_lifted_or_stopped() -> None:
    stopped = heard(TOO_SOON, answered("stopped", "2026-03-03 08:00"))
    assert runs(WOUND, stopped) == ["between 24–24.0167"]
    lifted = heard(TO_THE_STOP, answered("lifted", "2026-03-04 00:00"))
    assert (runs(WOUND, lifted), history(WOUND, lifted).last.state) == ([], "going")
    assert asked(WOUND, stopped) == asked(WOUND, lifted) == []


def test_not_wound_while_it_was_away_the_run_goes_on() -> None:
    back = "2026-03-02 08:05 – 2026-03-03 08:00  stopped\n2026-03-03 08:20 – 2026-03-04 00:00  stopped"
    assert runs(WOUND, heard(back)) == []
    said_so = heard(back, answered("not wound", "2026-03-03 08:00"))
    assert runs(WOUND, said_so) == ["between 40–40.0167"]
    assert asked(WOUND, said_so) == []


def test_wound_while_it_was_away_and_had_stopped_the_stop_counts() -> None:
    back = heard(f"{TO_THE_STOP}\n2026-03-04 07:31 – 2026-03-04 09:00  lost")
    notes = f"{WOUND}\n2026-03-04 07:31 ±2  wound, had stopped"
    assert runs(notes, back) == ["between 40–40.0167"]
    assert asked(notes, back) == []


# Not heard.


def test_over_an_outage_the_run_is_known_up_to_it_alone() -> None:
    gap = heard("2026-03-02 08:05 – 2026-03-03 08:00  lost\n2026-03-03 09:00 – 2026-03-04 00:00  stopped")
    assert runs(f"{WOUND}\n2026-03-05 07:00  wound, had stopped", gap) == ["between 24–71"]
    assert asked(WOUND, gap) == ["not heard 03 08:00–03 09:00", "lifted or stopped 04 00:00–04 00:01"]


def test_over_a_silence_too_short_to_hold_a_winding_by_chance_it_goes_on() -> None:
    gap = heard("2026-03-02 08:05 – 2026-03-03 08:00  lost\n2026-03-03 08:15 – 2026-03-04 00:00  stopped")
    assert runs(WOUND, gap) == ["between 40–40.0167"]


def test_an_outage_in_which_a_winding_was_noted_is_accounted_for() -> None:
    gap = heard("2026-03-02 08:05 – 2026-03-03 08:00  lost\n2026-03-03 09:00 – 2026-03-05 00:30  stopped")
    notes = f"{WOUND}\n2026-03-03 08:30  wound, was going"
    assert runs(notes, gap) == ["at_least 24.5–inf", "between 40–40.0167"]
    assert asked(notes, gap) == []


# Where log and sensor differ.


STOOD = f"{WOUND}\n2026-03-03 20:00  stopped"
GOES_ON = "2026-03-02 08:05 – 2026-03-04 00:00  stopped"


def test_seen_standing_while_it_was_heard_going_is_asked_and_the_log_counts() -> None:
    assert runs(STOOD, heard(GOES_ON)) == ["at_most 0–36"]
    assert asked(STOOD, heard(GOES_ON)) == ["log or sensor 02 08:05–04 00:00"]


def test_the_owner_says_which_is_right() -> None:
    for_log = heard(GOES_ON, answered("the log", "2026-03-02 08:05", "2"))
    for_sensor = heard(GOES_ON, answered("the sensor", "2026-03-02 08:05", "2"))
    assert runs(STOOD, for_log) == ["at_most 0–36"]
    assert runs(STOOD, for_sensor) == ["between 40–40.0167"]
    assert asked(STOOD, for_log) == asked(STOOD, for_sensor) == []


def test_wound_and_said_to_have_stopped_while_it_was_heard_going_is_asked() -> None:
    notes = f"{WOUND}\n2026-03-03 20:00  wound, had stopped"
    assert runs(notes, heard(GOES_ON)) == ["at_most 0–36"]
    assert asked(notes, heard(GOES_ON)) == ["log or sensor 02 08:05–04 00:00"]


def test_a_loosely_timed_stop_belongs_where_it_was_not_heard_going() -> None:
    notes = f"{WOUND}\n2026-03-03 23:00 ±180  stopped"
    assert runs(notes, heard(TO_THE_STOP)) == ["between 40–40.0167"]
    assert asked(notes, heard(TO_THE_STOP)) == []


def test_a_winding_noted_after_it_was_put_back_was_made_before() -> None:
    back = heard(f"{TO_THE_STOP}\n2026-03-04 07:31 – 2026-03-05 23:31  stopped")
    notes = f"{WOUND}\n2026-03-04 07:40 ±2  wound, had stopped"
    assert runs(notes, back) == ["between 40–40.0167", "between 40–40.15"]


def test_without_sensors_a_log_says_what_it_said_before() -> None:
    notes = f"{WOUND}\n2026-03-03 07:00  wound, was going\n2026-03-05 07:00  stopped"
    assert told(notes, Heard()).questions == ()
    assert runs(notes, Heard()) == ["at_least 23–inf", "at_most 0–48"]


def test_an_automatic_lifted_without_a_word_tells_nothing() -> None:
    watch = Watch(uid="a", nickname="Tide table", wound_by="crown and rotor")
    found = told(WOUND, heard(TOO_SOON), watch)
    assert any(isinstance(note, Silent) for note in found.notes)
