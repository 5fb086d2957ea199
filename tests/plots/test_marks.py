"""Run-downs as marks."""

from datetime import datetime

from tests.core.notes import read
from tests.plots.drawings import BERLIN, daily
from tracker.plots.marks import Mark, marks


def found(text: str, expected_h: float = 40.0, held_uid: str | None = None) -> list[Mark]:
    def expected(_at: datetime) -> float:
        return expected_h

    return marks(read(text), BERLIN, expected, held_uid)


def forms(text: str) -> list[tuple[str, tuple[float, ...]]]:
    return [(mark.form, mark.anchors_h) for mark in found(text)]


def test_each_kind_of_evidence_has_its_form_at_its_hours() -> None:
    text = """
        2026-03-02 08:00 wound, set now
        2026-03-03 08:00 wound, was going
        2026-03-04 18:00 stopped
        2026-03-05 08:00 wound, had stopped
        2026-03-06 08:00 seen going
        2026-03-06 18:00 stopped
        2026-03-07 08:00 wound, had stopped
        2026-03-08 08:00 seen going
        2026-03-08 08:30 stopped
        2026-03-09 08:00 wound, had stopped
        2026-03-10 08:00 wound
        """
    assert forms(text) == [
        ("up", (24.0,)),
        ("down", (34.0,)),
        ("bar", (24.0, 34.0)),
        ("point", (24.25,)),
        ("out", ()),
    ]


def test_moments_that_the_hands_allow_are_dots_and_the_likeliest_is_told() -> None:
    text = """
        2026-03-02 08:00 wound, was going, set now
        2026-03-04 20:00 stopped, showing 4:30
        """
    (mark,) = found(text, expected_h=33.0)
    assert mark.form == "dots"
    assert [round(hours, 1) for hours in mark.anchors_h] == [8.5, 20.5, 32.5, 44.5, 56.5]
    assert mark.likeliest == 2


def test_a_months_runs_alike_are_one_mark_with_their_count_at_the_most_telling() -> None:
    months = found(daily(60))
    assert [mark.form for mark in months] == ["up", "up", "up"]
    assert sum(mark.count for mark in months) == 60
    assert {mark.anchors_h for mark in months} == {(24.0,)}


def test_of_at_most_the_shortest_stands_for_the_month() -> None:
    text = """
        2026-03-02 08:00 wound
        2026-03-05 08:00 stopped
        2026-03-06 08:00 wound, had stopped
        2026-03-08 08:00 stopped
        """
    (mark,) = found(text)
    assert (mark.form, mark.anchors_h, mark.count) == ("down", (48.0,), 2)


def test_runs_before_the_last_service_and_a_run_held_back_are_told_apart() -> None:
    text = """
        2026-03-02 08:00 wound, was going
        2026-03-03 08:00 wound, was going
        2026-03-04 08:00 service
        2026-03-05 08:00 wound
        2026-03-06 08:00 wound, was going
        2026-03-07 08:00 wound, was going
        """
    told = [(mark.form, mark.former, mark.held) for mark in found(text, held_uid="4")]
    assert told == [("up", True, False), ("out", True, False), ("up", False, True), ("up", False, False)]
