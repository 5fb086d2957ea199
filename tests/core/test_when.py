from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest

from tracker.core.when import NoMoment, clock_time, latest_past, said, written

BERLIN = ZoneInfo("Europe/Berlin")
NEW_YORK = ZoneInfo("America/New_York")
LORD_HOWE = ZoneInfo("Australia/Lord_Howe")
NUUK = ZoneInfo("America/Nuuk")
PLAIN_NOW = datetime(2026, 11, 25, 7, 25, tzinfo=UTC)


def utc(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


# The changes of clocks below are those of the IANA Time Zone Database, version 2026f.
@pytest.mark.parametrize(
    ("clock", "now", "zone", "expected", "twice"),
    [
        ("07:30", "2026-11-25T07:25", BERLIN, "2026-11-25T06:30", False),  # this morning
        ("08:25", "2026-11-25T07:25", BERLIN, "2026-11-25T07:25", False),  # this very minute
        ("08:26", "2026-11-25T07:25", BERLIN, "2026-11-24T07:26", False),  # a minute ahead: yesterday's
        ("23:50", "2026-11-25T07:25", BERLIN, "2026-11-24T22:50", False),
        ("00:00", "2026-11-24T23:00", BERLIN, "2026-11-24T23:00", False),  # midnight belongs to the day it begins
        ("23:59", "2026-11-24T23:00", BERLIN, "2026-11-24T22:59", False),
        ("12:00", "2028-03-01T10:00", BERLIN, "2028-02-29T11:00", False),  # the leap day is yesterday
        ("12:00", "2027-03-01T10:00", BERLIN, "2027-02-28T11:00", False),
        ("02:30", "2026-03-29T00:45", BERLIN, "2026-03-28T01:30", False),  # the gap lies ahead still
        ("02:30", "2026-10-25T00:10", BERLIN, "2026-10-24T00:30", False),  # neither 02:30 has come
        ("02:30", "2026-10-25T00:40", BERLIN, "2026-10-25T00:30", False),  # the first has come
        ("02:30", "2026-10-25T01:40", BERLIN, "2026-10-25T01:30", True),  # both: the later
        ("01:30", "2026-11-01T12:00", NEW_YORK, "2026-11-01T06:30", True),
        ("01:45", "2026-04-04T20:00", LORD_HOWE, "2026-04-04T15:15", True),  # clocks go back half an hour
        ("01:15", "2026-04-04T20:00", LORD_HOWE, "2026-04-04T14:15", False),
        ("02:30", "2026-10-03T20:00", LORD_HOWE, "2026-10-03T15:30", False),  # the gap ends at 02:30
    ],
)
def test_a_clock_time_is_the_latest_one_past(
    clock: str, now: str, zone: ZoneInfo, expected: str, *, twice: bool
) -> None:
    assert latest_past(clock, utc(now), zone) == (utc(expected), twice)


@pytest.mark.parametrize(
    ("clock", "now", "zone", "named"),
    [
        ("02:30", "2026-03-29T10:00", BERLIN, "2026-03-29 02:30"),
        ("02:00", "2026-03-29T01:00", BERLIN, None),  # the gap's own first minute: 02:00 became 03:00 just now
        ("02:30", "2026-03-08T12:00", NEW_YORK, "2026-03-08 02:30"),
        ("02:15", "2026-10-03T20:00", LORD_HOWE, "2026-10-04 02:15"),
    ],
)
def test_a_clock_time_that_was_skipped_is_named(clock: str, now: str, zone: ZoneInfo, named: str | None) -> None:
    with pytest.raises(NoMoment) as caught:
        latest_past(clock, utc(now), zone)
    assert caught.value.why == "in the gap"
    assert named is None or caught.value.said == named


@pytest.mark.parametrize("text", ["07:30", "7:30", "7.30", "7h30", "0730", " 07:30 "])
def test_a_clock_time_may_be_typed_in_several_ways(text: str) -> None:
    assert clock_time(text).isoformat() == "07:30:00"


@pytest.mark.parametrize("text", ["", "24:00", "7:60", "730", "half past seven", "07:30:10", "-1:00"])
def test_what_is_no_clock_time_is_refused(text: str) -> None:
    with pytest.raises(NoMoment, match="not a clock time"):
        clock_time(text)


@pytest.mark.parametrize(
    ("text", "zone", "expected"),
    [
        ("2026-11-25T07:30", BERLIN, "2026-11-25T06:30"),
        ("2026-11-25 07:30:15", BERLIN, "2026-11-25T06:30:15"),
        ("2026-11-25T07:30Z", BERLIN, "2026-11-25T07:30"),
        ("2026-10-25T02:30+02:00", BERLIN, "2026-10-25T00:30"),
        ("2026-10-25T02:30+01:00", BERLIN, "2026-10-25T01:30"),
        ("2026-03-29T02:30+01:00", BERLIN, "2026-03-29T01:30"),
        ("2028-02-29T00:00", NEW_YORK, "2028-02-29T05:00"),
        ("2026-10-04T02:30", LORD_HOWE, "2026-10-03T15:30"),
    ],
)
def test_a_written_time_is_its_moment(text: str, zone: ZoneInfo, expected: str) -> None:
    assert written(text, PLAIN_NOW, zone).at == utc(expected)
    assert written(text, PLAIN_NOW, zone).within_min == 0


@pytest.mark.parametrize(
    ("text", "zone", "why", "choices"),
    [
        ("2026-03-29T02:30", BERLIN, "in the gap", ()),
        ("2026-03-08T02:00", NEW_YORK, "in the gap", ()),
        ("2026-10-04T02:15", LORD_HOWE, "in the gap", ()),
        ("2026-10-25T02:30", BERLIN, "twice there", ("2026-10-25T02:30+02:00", "2026-10-25T02:30+01:00")),
        ("2026-04-05T01:45", LORD_HOWE, "twice there", ("2026-04-05T01:45+11:00", "2026-04-05T01:45+10:30")),
        ("2027-02-29T12:00", BERLIN, "not a time", ()),
        ("25.11.2026 07:30", BERLIN, "not a time", ()),
        ("07:30", BERLIN, "not a time", ()),
        ("0001-01-01T00:00", BERLIN, "not a time", ()),
        ("0999-01-01T00:00Z", BERLIN, "not a time", ()),
        ("9999-12-31T23:59:59", NEW_YORK, "not a time", ()),
    ],
)
def test_a_written_time_that_is_none_or_two_says_why(text: str, zone: ZoneInfo, why: str, choices: tuple[str]) -> None:
    with pytest.raises(NoMoment) as caught:
        written(text, PLAIN_NOW, zone)
    assert (caught.value.why, caught.value.choices) == (why, choices)


def test_each_choice_of_a_doubled_time_names_one_moment() -> None:
    with pytest.raises(NoMoment) as caught:
        written("2026-10-25T02:30", PLAIN_NOW, BERLIN)
    moments = [written(choice, PLAIN_NOW, BERLIN).at for choice in caught.value.choices]
    assert moments[1] - moments[0] == timedelta(hours=1)


@pytest.mark.parametrize("text", ["2026-11-20", "20261120", "2026-W47-5"])
def test_a_date_alone_is_its_noon_within_twelve_hours(text: str) -> None:
    meant = written(text, PLAIN_NOW, BERLIN)
    assert (meant.at, meant.within_min) == (utc("2026-11-20T11:00"), 720)


def test_the_date_of_today_is_what_has_passed_of_it_and_no_more() -> None:
    meant = written("2026-11-25", PLAIN_NOW, BERLIN)
    half = timedelta(minutes=meant.within_min)
    assert (meant.at - half, meant.at + half) == (utc("2026-11-24T23:00"), PLAIN_NOW)


@pytest.mark.parametrize(
    ("word", "now", "expected", "within_min"),
    [
        ("now", "2026-11-25T07:25", "2026-11-25T07:25", 2),
        ("this morning", "2026-11-25T18:00", "2026-11-25T07:00", 180),
        ("this morning", "2026-11-25T05:00", "2026-11-25T05:00", 180),  # at six: no morning after now
        ("this morning", "2026-11-26T00:30", "2026-11-25T07:00", 180),  # still up at half past one
        ("last night", "2026-11-25T07:25", "2026-11-24T22:00", 180),
        ("last night", "2026-11-25T22:30", "2026-11-24T22:00", 180),  # late in the evening: the night before
        ("about", "2026-11-25T07:25", "2026-11-25T06:30", 10),
    ],
)
def test_a_word_is_a_moment_and_its_width(word: str, now: str, expected: str, within_min: float) -> None:
    meant = said(word, "07:30", utc(now), BERLIN)  # type: ignore[arg-type]  # parametrized words are plain text
    assert (meant.at, meant.within_min, meant.zone_name) == (utc(expected), within_min, "Europe/Berlin")


def test_a_word_for_a_skipped_hour_is_read_past_the_gap() -> None:
    # In Nuuk the clocks of 28 March 2026 went from 23:00 to midnight.
    assert said("last night", "", utc("2026-03-29T12:00"), NUUK).at == utc("2026-03-29T01:00")


@pytest.mark.parametrize("hour", range(48))
@pytest.mark.parametrize("word", ["now", "this morning", "last night"])
def test_no_word_ever_lies_in_the_future(word: str, hour: int) -> None:
    now = utc("2026-03-28T12:30") + timedelta(hours=hour)
    for zone in (BERLIN, NEW_YORK, LORD_HOWE, NUUK):
        assert said(word, "", now, zone).at <= now  # type: ignore[arg-type]  # parametrized words are plain text


@pytest.mark.parametrize(
    ("typed", "hour", "minute"),
    [("7:30 pm", 19, 30), ("7 PM", 19, 0), ("12 am", 0, 0), ("12:05 p.m.", 12, 5), ("07.30am", 7, 30)],
)
def test_a_clock_of_twelve_hours_is_read_where_its_half_is_named(typed: str, hour: int, minute: int) -> None:
    assert clock_time(typed) == time(hour, minute)


@pytest.mark.parametrize("typed", ["13 pm", "0:30 am", "7:60 pm", "7 xm"])
def test_what_no_such_clock_shows_is_none(typed: str) -> None:
    with pytest.raises(NoMoment):
        clock_time(typed)
