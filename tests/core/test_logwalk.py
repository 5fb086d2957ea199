"""Which notes touch a run; what it all comes to in hours is promised in test_rundown."""

import pytest

from tests.core.notes import log
from tracker.core.logwalk import Walk, walk


def walked(text: str, *, by_rotor: bool = False) -> Walk:
    return walk(log(text), by_rotor=by_rotor)


def test_an_empty_log_knows_nothing() -> None:
    assert (walked("2026-03-01 08:00 reading").state, walk([], by_rotor=False).run) == ("unknown", None)


def test_the_note_that_told_of_a_stop_is_the_first_and_of_going_the_newest() -> None:
    stopped = walked("2026-03-01 08:00 wound\n2026-03-03 08:00 stopped\n2026-03-03 09:00 stopped")
    going = walked("2026-03-01 08:00 wound\n2026-03-01 09:00 seen going\n2026-03-01 10:00 seen going")
    assert (stopped.state, stopped.told_by) == ("stopped", 1)
    assert (going.state, going.told_by) == ("going", 2)


def test_readings_count_until_the_watch_is_touched() -> None:
    (ended,) = walked("""
        2026-03-01 08:00 wound, set now
        2026-03-03 08:00 stopped
        2026-03-03 09:00 stopped, showing 4:37
        2026-03-03 10:00 wound, had stopped, showing 4:37
        2026-03-03 11:00 stopped on purpose
        2026-03-03 12:00 stopped, showing 11:00
    """).ended[:1]
    assert ended.run.readings == [2, 3]


def test_a_repeated_winding_forgets_what_was_seen_between() -> None:
    run = walked("2026-03-01 08:00 wound\n2026-03-01 08:05 seen going\n2026-03-01 08:10 wound, left").run
    assert run is not None
    assert (run.start, run.start_again, run.going) == (0, 2, None)


def test_a_repeated_winding_that_set_the_hands_has_set_them() -> None:
    run = walked("2026-03-01 08:00 wound\n2026-03-01 08:10 wound, set now").run
    assert run is not None
    assert run.hands is not None


@pytest.mark.parametrize(
    ("last", "state"),
    [
        ("2026-03-01 22:00 laid down", "going"),
        ("2026-03-01 21:55 stopped\n2026-03-01 22:00 laid down", "stopped"),
        ("2026-03-01 12:00 stopped\n2026-03-01 22:00 laid down", "going"),
    ],
)
def test_an_automatic_laid_down_goes_unless_it_just_stopped(last: str, state: str) -> None:
    assert walked(f"2026-03-01 08:00 put on\n{last}", by_rotor=True).state == state


def test_an_automatic_wound_from_a_stop_is_on_no_wrist() -> None:
    run = walked("2026-03-01 08:00 put on\n2026-03-09 08:00 wound, had stopped", by_rotor=True).run
    assert run is not None
    assert not run.worn


def test_a_hand_wound_watch_laid_down_after_a_stop_stays_stopped() -> None:
    assert walked("2026-03-01 08:00 wound\n2026-03-03 08:00 stopped\n2026-03-03 08:30 laid down").state == "stopped"


def test_a_service_leaves_the_state_unknown() -> None:
    after = walked("2026-03-01 08:00 wound\n2026-03-02 08:00 service")
    assert (after.state, after.run, len(after.services)) == ("unknown", None, 1)


@pytest.mark.parametrize(
    ("text", "amount"),
    [
        ("2026-03-01 06:00 seen going\n2026-03-01 08:00 put on\n2026-03-01 16:00 laid down", "full"),
        ("2026-03-01 06:00 seen going\n2026-03-01 08:00 put on\n2026-03-01 15:50 laid down", "unsure"),
        ("2026-03-01 06:00 seen going\n2026-03-01 08:00 put on\n2026-03-01 16:00 ±10 laid down", "unsure"),
        ("2026-03-01 06:00 stopped\n2026-03-01 08:00 put on\n2026-03-01 22:00 laid down", "full"),
        ("2026-03-01 06:00 stopped\n2026-03-01 08:00 put on\n2026-03-01 21:50 laid down", "unsure"),
        ("2026-02-20 06:00 seen going\n2026-03-01 08:00 put on\n2026-03-01 16:00 laid down", "unsure"),
        ("2026-03-01 08:00 put on\n2026-03-01 09:00 wound\n2026-03-01 10:00 laid down", "full"),
        ("2026-03-01 16:00 laid down", "unsure"),
    ],
)
def test_an_automatic_is_full_when_worn_for_long_enough(text: str, amount: str) -> None:
    run = walked(text, by_rotor=True).run
    assert run is not None
    assert (run.by, run.amount, run.worn) == ("wear", amount, False)


def test_a_full_wear_starts_a_run_that_tells() -> None:
    (ended,) = walked(
        "2026-03-01 06:00 stopped\n2026-03-01 08:00 put on\n2026-03-01 22:00 laid down\n2026-03-04 08:00 stopped",
        by_rotor=True,
    ).ended
    assert (ended.run.by, ended.run.amount, ended.ended_by) == ("wear", "full", "found stopped")


@pytest.mark.parametrize(
    ("worn", "known"),
    [
        ("2026-03-01 10:00 put on\n2026-03-04 22:00 laid down", True),
        ("2026-03-01 10:00 put on\n2026-03-01 20:00 put on\n2026-03-04 22:00 laid down", True),
        ("2026-03-01 10:00 put on\n2026-03-03 20:00 put on\n2026-03-04 22:00 laid down", False),
        ("2026-03-01 20:01 put on\n2026-03-04 22:00 laid down", False),
        ("2026-03-01 20:00 laid down", True),
        ("2026-03-01 20:01 laid down", False),
        ("2026-03-01 10:00 stopped\n2026-03-01 12:00 put on\n2026-03-04 22:00 laid down", False),
    ],
)
def test_hands_of_an_automatic_run_on_through_wear_unless_it_may_have_stopped(worn: str, *, known: bool) -> None:
    run = walked(f"2026-03-01 08:00 wound, set now\n{worn}", by_rotor=True).run
    assert run is not None
    assert (run.hands is not None) is known


def test_what_was_used_is_said_of_the_run_before_the_winding() -> None:
    done = walked("""
        2026-03-01 08:00 reading, side spring
        2026-03-01 08:00 wound
        2026-03-02 08:00 stopped
        2026-03-02 09:00 wound, had stopped, side spring
        2026-03-03 08:00 service
        2026-03-04 08:00 wound, side spring
    """)
    assert [run.run.side_spring_used for run in done.ended] == [True, False]
    assert done.run is not None
    assert not done.run.side_spring_used


@pytest.mark.parametrize(("day", "rested"), [("2026-05-30", True), ("2026-05-29", False)])
def test_the_first_run_after_ninety_days_without_a_sign_of_going_comes_after_rest(day: str, *, rested: bool) -> None:
    run = walked(f"2026-03-01 08:00 wound\n2026-03-04 08:00 stopped\n{day} 08:00 wound").run
    assert run is not None
    assert run.after_rest is rested


def test_a_first_winding_ever_noted_comes_after_no_known_rest() -> None:
    run = walked("2026-03-01 08:00 wound").run
    assert run is not None
    assert not run.after_rest


def test_on_a_winder_no_run_counts_and_taken_off_it_is_not_known_how_far_it_is_wound() -> None:
    done = walked(
        "2026-03-01 08:00 wound\n2026-03-02 08:00 on the winder, 700\n2026-03-09 08:00 off the winder\n2026-03-10 20:00 stopped",
        by_rotor=True,
    )
    assert [(each.run.by, each.run.amount, each.ended_by) for each in done.ended] == [
        ("crown", "full", "on a winder"),
        ("winder", "unsure", "found stopped"),
    ]


@pytest.mark.parametrize(
    ("text", "there"),
    [
        ("2026-03-02 08:00 on the winder", True),
        ("2026-03-02 08:00 on the winder\n2026-03-03 08:00 wound", True),
        ("2026-03-02 08:00 on the winder\n2026-03-03 08:00 off the winder", False),
        ("2026-03-02 08:00 on the winder\n2026-03-03 08:00 put on", False),
        ("2026-03-02 08:00 on the winder\n2026-03-03 08:00 stopped", False),
        ("2026-03-02 08:00 on the winder\n2026-03-03 service", False),
    ],
)
def test_it_stays_on_its_winder_until_it_is_seen_elsewhere_or_standing(text: str, *, there: bool) -> None:
    text = text.replace("03 service", "03 08:00 service")
    assert walked(text, by_rotor=True).on_winder is there
    assert not walked(text).on_winder


def test_wound_on_its_winder_its_run_tells_nothing() -> None:
    run = walked("2026-03-02 08:00 on the winder\n2026-03-03 08:00 wound", by_rotor=True).run
    assert run is not None
    assert run.worn
