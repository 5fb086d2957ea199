from dataclasses import replace
from datetime import timedelta

from sensors.kinds import Boolean, Level
from sensors.payload import Form
from sensors.rest import Span, Stop
from sensors.sensor import Sensor
from tests.plots.drawings import BERLIN, NOW, valid
from tracker.plots.readings import Told, readings

NOW_S = NOW.timestamp()


def sensor(reports: Boolean | Level) -> Sensor:
    return Sensor(
        uid="s", name="tray", kind="rest", topic="t", form=Form("plain", "number"), reports=reports, expected_s=60
    )


def told(*stops: Stop) -> Told:
    at_s = [NOW_S - 60.0 * minute for minute in range(600, 0, -1) if not 200 < minute < 260]
    return Told(
        total=len(at_s),
        at_s=at_s,
        values=[float(at < NOW_S - 6_000) for at in at_s],
        gaps_s=[NOW_S - 60.0 * 260],
        spans=[
            Span("going", NOW_S - 36_000, NOW_S - 6_060, "stopped"),
            Span("stopped", NOW_S - 6_000, NOW_S - 60, "open"),
        ],
        stops=stops,
        since=NOW - timedelta(days=1),
        until=NOW,
    )


def test_where_nothing_was_heard_there_is_no_picture() -> None:
    empty = Told(total=0, at_s=[], values=[], gaps_s=[], spans=[], stops=[], since=NOW, until=NOW)
    assert readings(sensor(Boolean()), empty, NOW, BERLIN) is None


def test_the_picture_is_one_that_plotly_takes_and_leaves_gaps_open() -> None:
    for reports in (Boolean(), Level(0.6, 0.4)):
        drawn = readings(sensor(reports), told(Stop(NOW_S - 6_060, NOW_S - 6_000)), NOW, BERLIN)
        assert drawn is not None
        valid(drawn.figure)
        (line,) = drawn.figure["data"]
        assert line["y"].count(None) == 1
        assert line["connectgaps"] is False


def test_readings_within_a_minute_stand_at_their_own_second() -> None:
    at_s = [NOW_S - 2.0, NOW_S - 1.25]
    few = replace(told(), total=2, at_s=at_s, values=[0.0, 1.0], gaps_s=[], spans=[])
    drawn = readings(sensor(Boolean()), few, NOW, BERLIN)
    assert drawn is not None
    assert drawn.figure["data"][0]["x"] == ["2026-11-25 08:24:58.000", "2026-11-25 08:24:58.750"]
    assert drawn.figure["layout"]["xaxis"]["tickformat"] == "%H:%M:%S"


def test_a_reading_between_two_gaps_is_a_dot() -> None:
    at_s = [NOW_S - 5_000, NOW_S - 4_940, NOW_S - 3_000, NOW_S - 1_000]
    few = replace(told(), total=4, at_s=at_s, values=[1.0, 1.0, 0.5, 0.25], gaps_s=at_s[1:3], spans=[])
    drawn = readings(sensor(Level(0.6, 0.4)), few, NOW, BERLIN)
    assert drawn is not None
    valid(drawn.figure)
    line, dots = drawn.figure["data"]
    assert line["y"] == [1.0, 1.0, None, 0.5, None, 0.25]
    assert (dots["mode"], dots["y"]) == ("markers", [0.5, 0.25])


def test_the_sentence_counts_readings_and_stops() -> None:
    none, one = (
        readings(sensor(Boolean()), each, NOW, BERLIN) for each in (told(), told(Stop(NOW_S - 6_060, NOW_S - 6_000)))
    )
    assert none is not None
    assert one is not None
    assert none.sentence == "541 readings since yesterday 22:25; no stop was seen."
    assert one.sentence == (
        "541 readings since yesterday 22:25; one stop seen, the last between today 06:44 and today 06:45."
    )
    assert [row[0] for row in one.tables[0].rows] == ["stopped", "going"]
