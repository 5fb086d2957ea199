"""What was heard, as values."""

from tests.core.hearing import heard, moment
from tracker.core.heard import Heard


def test_of_a_watch_on_no_sensor_nothing_was_heard() -> None:
    assert Heard() == heard("")


def test_an_answer_points_at_the_first_moment_of_what_is_asked() -> None:
    what = heard("2026-03-02 08:05 – 2026-03-04 00:00  stopped")
    assert what.halts[0].after == what.spells[0].end == moment("2026-03-04 00:00")
