"""Looks in sentences."""

from dataclasses import replace
from datetime import timedelta

import pytest

from tests.web.rounds import HOUR, LONDON, NOW, figures, of_watch, wound
from tracker.core.offer import Offer
from tracker.core.telling import Looks
from tracker.core.timeline import Sighting
from tracker.core.watch import Watch
from tracker.web.lookwords import appointment, most_telling, narrowing, purpose, run_down_asked

LOOKS = Looks(30.0, 50.0, (0.9, 0.5, 0.9), (0.75, 0.9, 1.0), 0.28)


@pytest.mark.parametrize(
    ("left", "words"),
    [
        (0.1, "take away most of the doubt"),
        (0.5, "about halve the doubt"),
        (0.65, "take away about a third of the doubt"),
        (0.97, "tell next to nothing"),
    ],
)
def test_what_a_look_is_expected_to_do_is_said_in_words(left: float, words: str) -> None:
    assert narrowing(left) == words


def test_an_offer_says_until_when_not_to_wind_and_what_to_do_then() -> None:
    offer = Offer(NOW + 30 * HOUR, 44.0, 0.5, hands=True)
    assert appointment(offer, NOW, LONDON) == "Do not wind it before tomorrow 13:25; look at it then."
    assert purpose(offer) == (
        "If it has stopped, read its hands before anything is touched. This look would about halve the doubt about its "
        "reserve; then wind it."
    )


def test_an_offer_that_is_due_asks_for_a_look_now() -> None:
    due = Offer(NOW - HOUR, 44.0, 0.75, hands=False)
    assert appointment(due, NOW, LONDON) == "Look at it now, before it is wound: its look was due today 06:25."
    assert purpose(due).endswith("Set its hands right then: a stop is read off hands that were set.")


def test_what_would_tell_more_compares_looks() -> None:
    run_out, single = most_telling(figures("Night ferry", wound(2)), LOOKS)
    assert run_out.endswith("That would leave about a quarter of the doubt.")
    assert "after 30 h, would take away about a quarter" in single
    assert "about 40 h after its wind, the hands read if it stands, would about halve the doubt" in single


def test_where_hands_would_add_little_the_single_look_is_told_once() -> None:
    _, single = most_telling(figures("Night ferry", wound(2)), replace(LOOKS, without_hands=(0.9, 0.55, 0.9)))
    assert single == "A single look about 40 h after its wind would about halve the doubt, its hands read or not."


def test_a_watch_known_well_is_told_to_be() -> None:
    known = Looks(30.0, 50.0, (0.9, 0.85, 0.9), (1.0, 0.95, 1.0), 0.83)
    assert most_telling(figures("Night ferry", wound(2)), known) == [
        "No one run will tell much more: it is known about as well as single runs can tell."
    ]


@pytest.mark.parametrize(
    ("watch", "why"),
    [
        (Watch(uid="a", nickname="A", stake="calendar"), "a stop costs its calendar"),
        (Watch(uid="a", nickname="A", job_number="7"), "it is a customer’s"),
        (Watch(uid="a", nickname="A", reach="out of reach"), "it is out of reach"),
        (Watch(uid="a", nickname="A", archived_at=NOW), "it is put away"),
    ],
)
def test_no_stop_is_asked_where_it_costs_much_and_why_is_said(watch: Watch, why: str) -> None:
    assert most_telling(of_watch(watch, wound(2)), LOOKS) == [
        f"No look that lets it stop is asked of this watch: {why}."
    ]


def test_a_daily_winder_is_asked_for_a_run_down_and_told_why() -> None:
    each = figures("Night ferry", *(wound(24.0 * day + 2) for day in reversed(range(25))))
    assert run_down_asked(each, NOW) == (
        "Every winding so far broke off its run, so all that is known is that it lasts at least 24.0 h, and a decline would "
        "not be seen. Let it run down once every half year: do not wind it until it stands, then read its hands."
    )


def test_half_a_year_after_a_stop_it_is_asked_again() -> None:
    days = [wound(24.0 * day + 2) for day in reversed(range(25))]
    stop = Sighting(uid="x", at=NOW - timedelta(days=200), zone="UTC", seen="stopped")
    each = figures("Night ferry", wound(24.0 * 202), stop, *days)
    assert run_down_asked(each, NOW).startswith("It has not stopped for half a year")


def test_of_others_nothing_is_asked() -> None:
    each = figures("Night ferry", *(wound(24.0 * day + 2) for day in reversed(range(25))))
    assert run_down_asked(replace(each, watch=replace(each.watch, stake="calendar")), NOW) == ""
