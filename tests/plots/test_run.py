"""The present run as a picture."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from tests.core.notes import read
from tests.plots.drawings import BERLIN, NOW, valid
from tests.web.rounds import curve
from tracker.core.curve import Curve
from tracker.core.rundown import CurrentRun
from tracker.core.windby import still_going
from tracker.plots.picture import Picture
from tracker.plots.run import present_run

HOUR = timedelta(hours=1)
LOG = """
    2026-11-24 07:25 wound
    2026-11-24 19:25 seen going
    """


def current(text: str = LOG) -> CurrentRun:
    run = read(text).current
    assert run is not None
    return run


def drawn(
    text: str = LOG, *, median_h: float = 42.0, now: datetime = NOW, wind_by_h: float = 38.0, zone: ZoneInfo = BERLIN
) -> Picture | None:
    run = current(text)
    return present_run(run, curve(median_h), wind_by=run.started_at + wind_by_h * HOUR, now=now, zone=zone)


def shown(text: str = LOG, *, now: datetime = NOW, median_h: float = 42.0) -> Picture:
    found = drawn(text, now=now, median_h=median_h)
    assert found is not None
    valid(found.figure)
    return found


def chance(hours: float, seen_h: float, lasts: Curve | None = None) -> float:
    return still_going(lasts or curve(42.0), hours, seen_going_h=seen_h)


def test_the_edge_is_the_chance_given_that_it_was_seen_going() -> None:
    _, ahead, _ = shown().figure["data"]
    for x, y in zip(ahead["x"], ahead["y"], strict=True):
        assert y == pytest.approx(chance(24.0 + x, 12.0), abs=1e-3)
    assert (ahead["x"][0], ahead["fill"]) == (0.0, "tozeroy")


def test_what_was_seen_conditions_the_curve() -> None:
    late = datetime(2026, 11, 26, 1, 25, tzinfo=UTC)
    unseen = shown(now=late).figure["data"][1]["y"][0]
    seen = shown(LOG + "2026-11-26 01:00 seen going", now=late).figure["data"][1]["y"][0]
    assert unseen == pytest.approx(chance(42.0, 12.0), abs=1e-3)
    assert seen == pytest.approx(chance(42.0, 41 + 35 / 60), abs=1e-3) != unseen


def test_now_is_upright_and_the_wind_by_a_diamond_on_the_edge() -> None:
    found = shown().figure
    assert [shape["x0"] for shape in found["layout"]["shapes"]] == [0]
    notch = found["data"][2]
    assert (notch["x"], notch["marker"]["symbol"]) == ([14.0], "diamond")
    assert notch["y"] == [pytest.approx(chance(38.0, 12.0), abs=1e-3)]


def test_the_sentence_tells_the_chance_at_the_mornings_in_doubt() -> None:
    tomorrow = round(100 * chance(47 + 5 / 60, 12.0))
    assert shown().sentence == f"The chance that it is still going: {tomorrow} % tomorrow 07:30, under 1 % Fri 07:30."


def test_a_long_run_begins_with_the_last_morning_that_is_sure() -> None:
    said = shown(median_h=190.0).sentence
    assert said.startswith("The chance that it is still going: over 99 % ")
    assert said.count("07:30") == 2


def test_a_run_that_is_nearly_over_says_until_when() -> None:
    assert (
        shown(now=NOW + 23.2 * HOUR).sentence == "It still goes with a chance of under 1 %, hardly beyond today 07:37."
    )


def test_a_run_that_is_over_is_not_drawn() -> None:
    assert drawn(now=NOW + 40 * HOUR) is None


def test_the_table_tells_moments_by_their_chance_with_now_and_the_wind_by() -> None:
    (table,) = shown().tables
    assert table.rows[0] == ("today 08:25", "24 h", "over 99 %", "now")
    assert ("today 22:25", "38 h", f"{round(100 * chance(38.0, 12.0))} %", "wind by") in table.rows
    assert [row[2] for row in table.rows if row[2] in {"95 %", "50 %", "5 %"}] == ["95 %", "50 %", "5 %"]


def test_a_night_with_a_clock_change_is_as_long_as_it_is() -> None:
    text = "2026-10-24 18:00 wound"
    found = shown(text, now=datetime(2026, 10, 24, 18, 0, tzinfo=UTC)).figure["layout"]["xaxis"]
    at = dict(zip(found["ticktext"], found["tickvals"], strict=True))
    assert at["Mon"] - at["Sun"] == 25.0


def test_no_two_marks_have_one_name() -> None:
    for median_h in (42.0, 192.0, 744.0):
        texts = [text for text in shown(median_h=median_h).figure["layout"]["xaxis"]["ticktext"] if ":" not in text]
        assert len(set(texts)) == len(texts)


@pytest.mark.parametrize("median_h", [30.0, 42.0, 72.0, 192.0, 744.0])
def test_few_enough_marks_for_a_phone(median_h: float) -> None:
    ticks = shown(median_h=median_h).figure["layout"]["xaxis"]
    assert 2 <= len(ticks["tickvals"]) <= 9
