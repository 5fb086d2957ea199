"""Lifted or stopped? By what follows."""

import pytest

from tests.core.hearing import answered, heard, moment
from tests.core.notes import log
from tracker.core.handling import sign
from tracker.core.near import Near
from tracker.core.placed import Placed, agreed

HALT = heard("2026-03-02 08:00 – 2026-03-04 04:00  stopped").halts[0]


@pytest.mark.parametrize(
    ("then", "told"),
    [
        ("2026-03-04 04:10  put on", "lifted"),
        ("2026-03-09 04:10  wound, was going", "lifted"),
        ("2026-03-09 04:10  wound, had stopped", None),
        ("2026-03-09 04:10  wound", None),
        ("2026-03-04 05:00  wound", "asked"),
        ("2026-03-05 05:00  seen going", "lifted"),
        ("2026-03-04 04:00  seen going", "asked"),
        ("2026-03-05 05:00  reading", None),
        ("2026-03-05 05:00  stopped", None),
        ("2026-03-05 05:00  service", "asked"),
        ("2026-03-02 05:00  put on", None),
    ],
)
def test_the_first_note_that_follows_tells(then: str, told: str | None) -> None:
    placed = Near[Placed](agreed(log(then), (), ()).placed, lambda each: each.ends)
    assert sign(HALT, placed, None, ()) == told


def test_going_again_before_anything_was_noted_it_had_been_lifted() -> None:
    later = Near[Placed](agreed(log("2026-03-05 05:00  wound, had stopped"), (), ()).placed, lambda each: each.ends)
    assert sign(HALT, later, moment("2026-03-04 05:00"), ()) == "lifted"
    assert sign(HALT, later, moment("2026-03-06 05:00"), ()) is None


def test_the_owner_has_the_last_word() -> None:
    nothing = Near[Placed]([], lambda each: each.ends)
    words = [answered("lifted", "2026-03-04 04:00"), answered("stopped", "2026-03-04 04:00")]
    assert sign(HALT, nothing, moment("2026-03-04 05:00"), words) == "stopped"
    assert sign(HALT, nothing, None, words[:1]) == "lifted"
