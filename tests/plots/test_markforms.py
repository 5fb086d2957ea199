"""Marks as they are drawn: no two kinds alike without their colour."""

from dataclasses import replace
from typing import get_args

from tests.core.notes import read
from tests.plots.drawings import BERLIN, NOW
from tracker.core.evidence import Evidence, at_least, at_most, between, exact
from tracker.core.rundown import RunDown
from tracker.plots.frame import Frame
from tracker.plots.markforms import drawn, meaning, words
from tracker.plots.marks import Form, Mark
from tracker.plots.picture import Figure

FRAME = Frame(start=NOW, end=NOW, low_h=20.0, high_h=60.0, unit_h=1.0)
RUN = read("2026-03-02 08:00 wound\n2026-03-03 08:00 wound, was going").runs[0]
TOLD: dict[Form, Evidence] = {
    "point": exact(40.0),
    "bar": between(30.0, 50.0),
    "up": at_least(26.0),
    "down": at_most(50.0),
    "dots": Evidence("one_of", ((27.0, 27.2), (39.0, 39.2), (51.0, 51.2))),
    "out": Evidence("none"),
}


def mark(form: Form, *, held: bool = False, former: bool = False, likeliest: int | None = None) -> Mark:
    run = RUN._replace(evidence=TOLD[form])
    return Mark(run=run, form=form, held=held, former=former, likeliest=likeliest)


def trace(given: Mark) -> Figure:
    (found,) = drawn([given], lambda _: ("Mon", "it went"), FRAME, BERLIN)
    return found


def test_every_form_is_told_apart_by_its_signs() -> None:
    forms = [(trace(mark(form))["mode"], *trace(mark(form))["marker"]["symbol"][:2]) for form in get_args(Form)]
    signs = {form: sign for form, (sign, _) in meaning().items()}
    assert set(signs) == set(get_args(Form))
    assert len(set(signs.values())) == len(signs)
    assert len(set(forms)) >= len(forms) - 1  # a point and dots differ by their size


def test_an_arrow_points_to_where_the_stop_may_lie() -> None:
    up, down = (trace(mark(form))["y"] for form in ("up", "down"))
    assert up[0] == 26.0 < up[1]
    assert down[0] == 50.0 > down[1]


def test_the_likeliest_of_the_moments_is_larger() -> None:
    found = trace(mark("dots", likeliest=1))
    assert found["y"] == [27.1, 39.1, 51.1]
    assert found["marker"]["size"] == [2, 5, 2]


def test_a_run_left_out_lies_on_the_floor_and_one_held_back_has_a_hollow_foot() -> None:
    assert FRAME.low_h < trace(mark("out"))["y"][0] < FRAME.low_h + 2
    for form in ("point", "bar", "up", "down", "dots"):
        assert trace(mark(form, held=True))["marker"]["symbol"][0] == "diamond-open"


def test_a_month_alike_is_told_with_its_count() -> None:
    def told(_run: RunDown) -> str:
        return "at least 26 h"

    month = replace(mark("up"), count=28)
    assert words(month, told, NOW, BERLIN) == ("28 runs in Mar 2026", "the longest: at least 26 h")
    assert words(replace(mark("out"), count=3), told, NOW, BERLIN)[1] == "left out"
    assert words(mark("up", held=True), told, NOW, BERLIN)[1].startswith("at least 26 h; held back")
