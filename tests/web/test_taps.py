"""What a button and the fields around it become."""

from typing import Any

import pytest
from werkzeug.datastructures import MultiDict

from tests.web.rounds import BERLIN, NOW
from tracker.commands.log import LogSighting, LogWind
from tracker.errors import BadInput, Rejected
from tracker.uids import uid_of
from tracker.web.taps import Tap, commands_of, done_said, tap_of

A, B = uid_of("a"), uid_of("b")


def wind(act: str, **fields: str) -> LogWind:
    [made] = commands_of(Tap(act, (A,)), MultiDict({"key": "k", **fields}), NOW, BERLIN)
    assert isinstance(made, LogWind)
    return made


def test_one_tap_carries_the_state() -> None:
    going, stopped = wind("wound-going"), wind("wound-stopped")
    assert (going.found, going.hands, going.amount) == ("going", "left", "full")
    assert (stopped.found, stopped.hands, stopped.shown) == ("stopped", "unknown", None)
    assert (going.at, going.zone, going.within_min) == (NOW, "Europe/Berlin", 2.0)


def test_what_the_hands_showed_and_how_they_were_set_goes_with_it() -> None:
    made = wind("wound-stopped", **{f"shown-{A}": "437", f"date-{A}": "25", f"hands-{A}": "set now, date too"})
    assert (made.shown, made.shown_date, made.hands, made.date_set) == ("4:37", 25, "set now", True)


def test_a_look_alone_is_a_sighting() -> None:
    [made] = commands_of(Tap("seen-stopped", (A,)), MultiDict({f"shown-{A}": "4:37"}), NOW, BERLIN)
    assert isinstance(made, LogSighting)
    assert (made.seen, made.shown) == ("stopped", "4:37")


def test_the_same_tap_twice_is_one_change_and_another_tap_is_another() -> None:
    assert wind("wound-going").uid == wind("wound-going").uid
    assert len({wind("wound-going").uid, wind("wound-stopped").uid, wind("wound-going", key="next page").uid}) == 3


@pytest.mark.parametrize(
    ("form", "tap"),
    [
        ([("do", f"wound-going {A}"), ("in", B)], Tap("wound-going", (A,))),
        ([("do", "all wound-stopped"), ("in", A), ("in", B)], Tap("wound-stopped", (A, B))),
    ],
)
def test_a_button_is_about_its_watch_or_all_that_are_ticked(form: list[tuple[str, str]], tap: Tap) -> None:
    assert tap_of(MultiDict(form)) == tap


@pytest.mark.parametrize("do", ["", "all", "wound", f"worn {A}", f"all {A}"])
def test_a_button_we_do_not_know_notes_nothing(do: str) -> None:
    with pytest.raises(BadInput, match="It is not said what happened; nothing was noted"):
        tap_of(MultiDict({"do": do, "in": A}))


def test_a_sitting_of_none_notes_nothing() -> None:
    with pytest.raises(BadInput, match="No watch is ticked") as caught:
        tap_of(MultiDict({"do": "all wound-going"}))
    assert caught.value.field == "in"


@pytest.mark.parametrize(
    ("act", "field", "value", "sentence"),
    [
        ("wound-stopped", "shown", "99:99", "“99:99” is not a time on a dial."),
        ("wound-stopped", "date", "40", "40 is too large."),
        ("wound-going", "shown", "437", "What the hands showed counts only for a watch that had stopped."),
        ("wound-stopped", "hands", "left", "Hands that had stopped can't be right when they are left as they are."),
        ("seen-going", "hands", "set now", "What was done to the hands is noted with a winding."),
    ],
)
def test_what_cannot_be_taken_is_named_by_its_field(act: str, field: str, value: str, sentence: str) -> None:
    form: MultiDict[str, Any] = MultiDict({f"{field}-{A}": value})
    with pytest.raises(Rejected) as caught:
        commands_of(Tap(act, (A, B)), form, NOW, BERLIN)
    assert [(problem.field, problem.what) for problem in caught.value.problems] == [(f"{field}-{A}", sentence)]


def test_what_was_noted_is_said_by_name_or_beyond_a_few_by_number() -> None:
    two, six = Tap("wound-going", ("a", "b")), Tap("wound-stopped", ())
    form = MultiDict({"when": "last night"})
    assert done_said(two, ["Ferry", "Coat"], form, NOW, BERLIN) == "Noted: Ferry, Coat wound last night, found going."
    about = MultiDict({"when": "about", "clock": "23:59"})
    told = "Noted: six watches wound yesterday 23:59, found stopped."
    assert done_said(six, ["x"] * 6, about, NOW, BERLIN) == told


def test_everything_wrong_is_told_at_once() -> None:
    form: MultiDict[str, Any] = MultiDict({"when": "about", "clock": " ", f"shown-{A}": "x"})
    with pytest.raises(Rejected) as caught:
        commands_of(Tap("wound-stopped", (A,)), form, NOW, BERLIN)
    assert [problem.field for problem in caught.value.problems] == ["clock", f"shown-{A}"]
    assert caught.value.problems[0].sentence == "No time is given. Give it as 07:30."
