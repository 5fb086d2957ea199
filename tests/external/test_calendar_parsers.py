"""The calendar feed read by two parsers that had no part in writing it, and by the rules of RFC 5545 themselves."""

from datetime import UTC, date, datetime, timedelta

import pytest
from ical.calendar_stream import IcsCalendarStream
from ics import Calendar as Ics

from tracker.reminders.calendar import Event, document

CHANGED = datetime(2026, 11, 25, 7, 25, tzinfo=UTC)
EVENTS = [
    Event("a", datetime(2026, 11, 27, 7, 30, tzinfo=UTC), "Wind Night ferry, Almanac; Bar \\ buoy", timedelta(0)),
    Event(
        "b", datetime(2026, 10, 25, 0, 30, tzinfo=UTC), "Übersee-Uhr: wind by now, " + "ö" * 80, timedelta(hours=4.5)
    ),
    Event("c", date(2027, 3, 1), "Almanac: service due by your rule"),
]
FEED = document(EVENTS, CHANGED, 3).decode()


def test_one_parser_reads_what_was_meant() -> None:
    read = IcsCalendarStream.calendar_from_ics(FEED)
    assert [event.uid for event in read.events] == ["a", "b", "c"]
    assert [event.summary for event in read.events] == [event.summary for event in EVENTS]
    assert [event.dtstart for event in read.events] == [event.at for event in EVENTS]
    assert {event.dtstamp for event in read.events} == {CHANGED}
    assert [event.sequence for event in read.events] == [3, 3, 3]
    assert [alarm.trigger for event in read.events for alarm in event.alarm] == [timedelta(0), -timedelta(hours=4.5)]


@pytest.mark.filterwarnings("ignore")
def test_another_reads_the_same() -> None:
    read = {event.uid: event for event in Ics(FEED).events}
    assert {uid: event.name for uid, event in read.items()} == {event.uid: event.summary for event in EVENTS}
    assert read["a"].begin.datetime == EVENTS[0].at
    assert read["c"].all_day


def test_each_event_has_what_the_rules_require_once() -> None:
    # RFC 5545, 3.6.1: UID and DTSTAMP are required, once; 3.8.2.2: DTEND is of the kind of DTSTART and later.
    for event in FEED.replace("\r\n ", "").split("BEGIN:VEVENT")[1:]:
        names = [line.partition(":")[0].partition(";")[0] for line in event.partition("BEGIN:VALARM")[0].split("\r\n")]
        for name in ("UID", "DTSTAMP", "DTSTART", "DTEND", "SEQUENCE", "SUMMARY"):
            assert names.count(name) == 1


def test_moments_need_no_zone() -> None:
    # RFC 5545, 3.3.5, form 2: UTC; so no VTIMEZONE is needed.
    assert "TZID" not in FEED
    assert "VTIMEZONE" not in FEED
