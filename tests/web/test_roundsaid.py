"""The sentences of the Round page."""

from dataclasses import replace

import pytest

from tests.web.rounds import BERLIN, HOUR, LONDON, NOW, figures, of_watch, seen, wound
from tracker.core.offer import Offer
from tracker.core.timeline import Sighting, Wind
from tracker.core.watch import Stake, Watch
from tracker.figures import Figures
from tracker.reminders.shown import Shown
from tracker.turn import Turn
from tracker.web import roundsaid
from tracker.web.roundview import parts

STOPPED = Sighting(uid="x", at=NOW - 5 * HOUR, zone="UTC", seen="stopped")
LATER = figures("Later", wound(5))


def head(*of: Figures) -> str:
    return roundsaid.first_line(parts(of, NOW, LONDON), NOW, BERLIN)


def row(each: Figures) -> roundsaid.Row:
    return roundsaid.row(each, parts([each], NOW, LONDON), NOW, BERLIN)


def label(*of: Figures) -> str | None:
    found = roundsaid.sitting(parts(of, NOW, LONDON))
    return found.label if found else None


def test_it_says_how_many_to_wind_and_what_comes_next() -> None:
    assert head(figures("A", wound(30)), LATER) == "One to wind; nothing else before tomorrow 16:15."


@pytest.mark.parametrize(
    ("at_h", "said"),
    [
        (1.0, "Two to wind this morning"),
        (9.0, "Two to wind today 17:25, one of them sooner"),
        (24.0, "Two to wind tomorrow 08:25, two of them sooner"),
        (0.0, "Two to wind"),
    ],
)
def test_the_round_is_named_and_who_can_not_wait_for_it(at_h: float, said: str) -> None:
    """A is to be wound within about 7 h, B within 17."""
    turn = Turn(NOW + at_h * HOUR, frozenset("AB"), frozenset("AB"), NOW + 48 * HOUR)
    told = parts([figures("A", wound(30)), figures("B", wound(20))], NOW, LONDON, turn)
    assert roundsaid.first_line(told, NOW, BERLIN) == f"{said}; nothing else before Fri 08:25."


def test_one_that_can_not_wait_is_better_wound_sooner() -> None:
    turn = Turn(NOW + 9 * HOUR, frozenset("A"), frozenset("A"), None)
    told = parts([figures("A", wound(30))], NOW, LONDON, turn)
    assert roundsaid.first_line(told, NOW, BERLIN) == "One to wind today 17:25, better sooner."


def test_what_wants_a_look_is_counted_apart() -> None:
    assert head(figures("A", wound(30)), figures("B")) == "One to wind and one to look at."


def test_nothing_to_do_is_said_plainly() -> None:
    assert head(LATER) == "Nothing to wind before tomorrow 16:15."
    assert head(figures("A", wound(5), kept=False)) == "Nothing to wind: no watch is one to keep going."


def test_a_row_says_by_when_why_and_how_long() -> None:
    told = row(figures("A", wound(31), seen(9)))
    assert told.want == "by 14:15 today"
    assert told.why == "seen going yesterday 23:25; little known yet, 6 to 12 h left"
    assert told.going_first is True


def test_past_the_wind_by_the_doubt_stands_with_its_figure() -> None:
    told = row(figures("A", wound(41)))
    assert told.want == "may have stopped; wind-by was today 04:15"
    assert told.why.endswith("still going with a chance of 31 %")
    assert told.going_first is False


@pytest.mark.parametrize(
    ("each", "want", "why"),
    [
        (figures("A", wound(90), STOPPED), "stopped", "stopped since today 03:25"),
        (figures("A"), "not known: look at it", "nothing noted yet"),
        (
            figures("A", seen(1)),
            "going, probably: look at it",
            "seen going today 07:25; when it was last wound is not noted",
        ),
        (figures("A", wound(99)), "stopped", "wound Sat 05:25"),
    ],
)
def test_a_row_without_a_wind_by_says_what_is_known(each: Figures, want: str, why: str) -> None:
    assert (row(each).want, row(each).why) == (want, why)


def test_cautions_stand_where_they_apply() -> None:
    watch = Watch(
        uid="A",
        nickname="A",
        habit="keep going",
        wound_by="crown and rotor",
        crown_turns_to_full=38.0,
        screw_down_crown=True,
        other_springs="alarm",
    )
    assert row(of_watch(watch, wound(30))).cautions == [
        "Stop at its 38 turns; it gives no resistance.",
        "Screw the crown back.",
        "Wind its other springs too: alarm.",
    ]
    assert row(figures("B", wound(30))).cautions == []


@pytest.mark.parametrize(("stake", "hours"), [("calendar", "8 pm and 4 am"), ("date", "9 pm and 3 am")])
def test_whoever_sets_a_date_is_told_when_not_to(stake: Stake, hours: str) -> None:
    assert hours in row(of_watch(Watch(uid="A", nickname="A", habit="keep going", stake=stake), wound(30))).setting


def test_one_button_serves_the_whole_sitting() -> None:
    going, late = [figures(name, wound(30)) for name in "ABC"], [figures(name, wound(44)) for name in "DEF"]
    assert label(*going) == "All three wound, all were going"
    assert label(*going[:2]) == "Both wound, both were going"
    assert label(*going, *late) == "The three surely still going: wound, all were going"
    assert label(*late) == "All three wound, all had stopped"
    assert label(*late[:2]) == "Both wound, both had stopped"


def test_no_button_speaks_for_watches_of_which_nobody_knows() -> None:
    doubtful = [figures(name, wound(39.6)) for name in "ABC"]
    assert label(*doubtful) is None
    assert [row(each).going_first for each in doubtful] == [None] * 3
    assert not any(roundsaid.row(each, parts(doubtful, NOW, LONDON), NOW, BERLIN).in_sitting for each in doubtful)


def test_a_sooner_wind_by_of_a_watch_nobody_keeps_going_is_not_denied() -> None:
    loose = figures("Desk", wound(10), kept=False)
    said = head(figures("A", wound(30)), LATER, loose)
    assert said == "One to wind; of those you keep going, no other before tomorrow 16:15."


def test_seen_going_at_its_wind_by_a_row_asks_for_winding_now() -> None:
    loose = Wind(uid="w", at=NOW - 36 * HOUR, zone="UTC", within_min=300)
    assert row(figures("A", loose, seen(0.03))).want == "going; wind it now"


def test_where_a_row_s_own_button_does_there_is_none_for_the_sitting() -> None:
    part = Wind(uid="p", at=NOW - 20 * HOUR, zone="UTC", amount="part")
    assert label(figures("A", wound(30))) is None
    assert label(figures("A", wound(30)), figures("B", wound(43)), figures("C", part)) is None


def test_watches_at_rest_are_counted_in_one_line() -> None:
    told = parts([figures("A", wound(90), STOPPED, kept=False), figures("B", kept=False)], NOW, LONDON)
    assert roundsaid.at_rest(told) == "Stopped: one. Not known: one."
    assert roundsaid.at_rest(parts([], NOW, LONDON)) == ""


def test_a_doubtful_watch_says_since_when() -> None:
    assert roundsaid.doubtful(figures("A", wound(39), kept=False), NOW, BERLIN) == "since today 06:15"


def test_a_last_call_names_each_watch_and_its_hour_while_in_time() -> None:
    due = [Shown("a", "Night ferry", NOW + 2 * HOUR, late=False), Shown("b", "Old", NOW, late=True)]
    assert roundsaid.last_call(due, NOW, BERLIN) == "Last call: Night ferry by today 10:25, in 2 h."
    assert roundsaid.last_call(due[1:], NOW, BERLIN) == ""


def test_a_look_that_is_due_is_asked_for_before_the_winding() -> None:
    due = replace(figures("A", wound(30)), offer=Offer(NOW - HOUR, 29.0, 0.5, hands=True))
    assert row(due).want == "look at it before it is wound; if it has stopped, read its hands"
    assert not row(due).in_sitting
    assert head(due, LATER).startswith("One to look at; nothing else before")


def test_what_is_left_to_run_says_until_when() -> None:
    each = replace(figures("A", wound(30)), offer=Offer(NOW + HOUR, 31.0, 0.5, hands=True))
    assert roundsaid.left_to_run(each, NOW, BERLIN) == "Do not wind it before today 09:25; look at it then."
