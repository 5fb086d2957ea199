from dataclasses import replace
from datetime import timedelta

import pytest

from tests.web.rounds import HOUR, LONDON, NOW, figures, wound
from tracker.bench import OnTest
from tracker.core.benchlooks import LookPlan
from tracker.core.benchtest import BenchTest
from tracker.web import benchwords

TEST = BenchTest(
    uid="t",
    watch_uid="A",
    wind_uid="w10",
    wound_at=NOW - 10 * HOUR,
    newest_at=NOW - 10 * HOUR,
    occasion="after service",
    position="6H",
    note="",
    noted_at=NOW,
)


def going(hours: float, stopped: float = 0.3, sensor: str = "", ago: int = 10) -> OnTest:
    """A test wound so long ago, whose next look comes in so many hours."""
    looks = () if sensor else ((NOW + hours * HOUR, stopped), (NOW + (hours + 10) * HOUR, 1.0))
    each = figures("A", wound(ago, hands="set now"))
    return OnTest(
        test=replace(TEST, wind_uid=f"w{ago}"), each=each, sensor=sensor, plan=LookPlan((), 1.2, 0.9, 0.5), looks=looks
    )


@pytest.mark.parametrize(
    ("tests", "line"),
    [
        ([], "No run-down test is going."),
        ([going(13.6), going(20.0)], "Two run-downs going; next look at 21:01."),
        ([going(-1.0)], "One run-down going; a look is due since 06:25."),
        ([going(0.0, sensor="tray")], "One run-down going; no look is needed."),
    ],
)
def test_the_first_line_tells_what_is_on_the_bench(tests: list[OnTest], line: str) -> None:
    assert benchwords.first_line(tests, NOW, LONDON) == line


def test_a_test_is_told_with_its_wind_its_occasion_and_its_position() -> None:
    assert benchwords.begun(TEST, NOW, LONDON) == "Wound fully yesterday 21:25, after service, 6H uppermost."


def test_a_look_after_it_must_have_stopped_tells_to_minutes() -> None:
    assert "its hands tell when, to minutes" in benchwords.to_do(going(40.0, 0.999), NOW, LONDON)
    assert benchwords.later(going(40.0, 0.999), NOW, LONDON) == ""


def test_a_look_before_says_how_likely_it_stands_and_what_then() -> None:
    assert "with a chance of 30 %" in benchwords.to_do(going(5.0), NOW, LONDON)
    assert benchwords.later(going(5.0), NOW, LONDON).startswith("If it still goes then: ")


def test_a_sensor_takes_over() -> None:
    said = benchwords.to_do(going(5.0, sensor="tray 3"), NOW, LONDON)
    assert said == "Its sensor tray 3 hears it: no look is needed, its stop is the stop."


def test_a_look_that_is_late_is_asked_for_now() -> None:
    assert benchwords.to_do(going(-2.0), NOW, LONDON).startswith("Look at it now: the look was due today 05:25.")


def test_a_look_that_is_late_speaks_of_now() -> None:
    for stopped, told in ((0.3, "with a chance of 30 %; by now that is no less."), (0.999, "must have stopped by now")):
        said = benchwords.to_do(going(-2.0, stopped), NOW, LONDON)
        assert told in said
        assert "By then" not in said


def test_how_it_ended_is_told_with_its_reason() -> None:
    ended = replace(TEST, ended_at=NOW + timedelta(hours=1), ended_by="broken off", reason="wound again")
    assert benchwords.how_ended(ended) == "broken off: wound again"
