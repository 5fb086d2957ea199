"""Which watch comes first, and how the page begins."""

import pytest

from tests.web.declines import subject, words
from tests.web.rounds import LONDON, NOW
from tracker.core.pattern import Gradual
from tracker.core.samehour import SameHour
from tracker.core.spread import Band
from tracker.web import serviceview
from tracker.web.serviceview import Subject

GRADUAL = Gradual(0.99, Band(-0.07, -0.05, -0.04))
CROWD = SameHour(0.001, 5, 6, 700, 10)


def first_line(*found: Subject) -> str:
    return serviceview.first_line(found, NOW, LONDON)


def test_a_watch_is_spoken_of_by_its_cue_then_its_age_then_its_runs() -> None:
    found = [
        subject("advised", step="service advised"),
        subject("eye", step="keep an eye"),
        subject("known", step="service advised", quiet_days=20),
        subject("asks again", step="keep an eye", quiet_days=-1),
        subject("due", due_in_days=-1),
        subject("not due", due_in_days=1),
        subject("sign", patterns=(CROWD,)),
        subject("possible", keep=0.1),
        subject("small", lost=0.07),
        subject("too soon", years=0.06),
        subject("little", evidence="no stop"),
    ]
    assert words(found) == {
        "advised": "service advised", "eye": "keep an eye", "known": "known", "asks again": "keep an eye", "due": "due",
        "not due": "none", "sign": "sign", "possible": "possible", "small": "small", "too soon": "too soon", "little": "too little",
    }  # fmt: skip


def test_the_one_to_open_first_comes_first_and_what_is_known_last() -> None:
    found = [
        subject("none"),
        subject("known", step="service advised", quiet_days=20, lost=0.4),
        subject("sign", patterns=(CROWD,)),
        subject("due later", due_in_days=-10),
        subject("due first", due_in_days=-100),
        subject("eye", step="keep an eye", lost=0.12),
        subject("more lost", step="keep an eye", lost=0.15),
        subject("advised", step="service advised", lost=0.1),
    ]
    assert [each.nickname for each in serviceview.in_need(found)] == [
        "advised", "more lost", "eye", "due first", "due later", "sign", "known",
    ]  # fmt: skip


def test_the_first_line_names_the_loss_the_step_and_the_look_that_tells_more() -> None:
    assert first_line(subject("Workshop spare", step="keep an eye", lost=0.12, patterns=(GRADUAL,))) == (
        "Workshop spare has lost about 12 % since its service: keep an eye; a look at its turns would tell more."
    )
    assert first_line(subject("Fog signal", step="service advised", lost=0.24)) == (
        "Fog signal has lost about 24 % since its service: service advised; a run-down watched to its end would tell more."
    )


@pytest.mark.parametrize(
    ("found", "said"),
    [
        ((), "No watch yet, so none to open."),
        ((subject("a"), subject("b")), "None to open."),
        ((subject("a"), subject("b", evidence="no stop")), "None to open; of one there is not enough evidence yet."),
        ((subject("b", evidence="no run"),), "None to open: there is not enough evidence yet."),
        ((subject("Bar buoy", due_in_days=-40), subject("b")), "None shows a decline; Bar buoy is due by your rule (Oct 2026)."),
        (
            (subject("Bar buoy", due_in_days=-40), subject("b", due_in_days=-1)),
            "None shows a decline; two are due by your rule, Bar buoy first (Oct 2026).",
        ),
        ((subject("Bar buoy", patterns=(CROWD,)),), "None to open; of Bar buoy there is something to look at."),
        (
            (subject("Bar buoy", step="keep an eye", quiet_days=30),),
            "Nothing new: Bar buoy is known to you and asks again Fri 2026-12-25.",
        ),
        (
            (subject("a", step="keep an eye", quiet_days=30), subject("b", step="keep an eye", quiet_days=9)),
            "Nothing new: two are known to you.",
        ),
    ],
)  # fmt: skip
def test_without_a_cue_it_says_what_there_is(found: tuple[Subject, ...], said: str) -> None:
    assert first_line(*found) == said
