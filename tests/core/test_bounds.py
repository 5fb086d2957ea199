"""Bounds of times; that they are the tightest is proved against every possible life in test_rundown."""

from datetime import timedelta

from tests.core.notes import log
from tracker.core.bounds import Bounds, bounds
from tracker.core.logwalk import walk


def bounded(text: str) -> tuple[Bounds, list[tuple[int, int]]]:
    """The bounds, and the same in minutes from each noted time."""
    notes = log(text)
    found = bounds(notes, walk(notes, by_rotor=False).ended, 12)
    minute = timedelta(minutes=1)
    return found, [
        (round((low - note.at) / minute), round((high - note.at) / minute))
        for note, low, high in zip(notes, found.low, found.high, strict=True)
    ]


def test_a_note_alone_is_as_wide_as_it_says() -> None:
    assert bounded("2026-03-02 08:00 ±20 wound")[1] == [(-20, 20)]


def test_notes_push_each_other_into_order() -> None:
    assert bounded("""
        2026-03-02 08:00 ±180 wound
        2026-03-02 09:00 ±5   seen going
        2026-03-02 09:30 ±180 seen going
    """)[1] == [(-180, 65), (-5, 5), (-35, 180)]


def test_a_stop_told_by_hands_pushes_both_ways() -> None:
    assert bounded("""
        2026-03-02 20:00 ±180 wound, set now
        2026-03-03 03:00 ±360 stopped, showing 11:00
    """)[1] == [(-180, 180), (-250, 360)]


def test_hands_that_ran_on_push_their_start_too() -> None:
    """From 4:00 to 1:00 are nine hours, each reading within ten minutes: it was wound by 06:50, and stopped from 13:10."""
    found, minutes = bounded("""
        2026-03-02 07:00 ±180 wound, had stopped, not set, showing 4:00
        2026-03-02 13:10 ±140 stopped, showing 1:00
    """)
    assert minutes == [(-180, -10), (-30, 140)]
    assert [(way.start, way.ran[0].seconds // 60) for way in found.stops[1]] == [(0, 519)]


def test_hands_that_fit_nowhere_push_nothing() -> None:
    found, minutes = bounded("""
        2026-03-02 20:00     wound, set now
        2026-03-02 21:00 ±30 stopped, showing 4:00
    """)
    assert minutes == [(0, 0), (-30, 30)]
    assert found.flaws == [("2", "hands fit no moment")]
    assert not found.stops
