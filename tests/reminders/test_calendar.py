from datetime import UTC, date, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from tracker.reminders.calendar import Event, document

AT = datetime(2026, 11, 27, 7, 30, tzinfo=UTC)
CHANGED = datetime(2026, 11, 25, 7, 25, tzinfo=UTC)
ROUND = Event("round-1", AT, "Wind Night ferry, Almanac", timedelta(hours=3))
SERVICE = Event("service-1", date(2027, 3, 1), "Almanac: service due by your rule")


def lines(*events: Event) -> list[str]:
    return document(events, CHANGED, 7).decode().replace("\r\n ", "").split("\r\n")


def test_a_moment_stands_in_utc_with_its_alarm() -> None:
    told = lines(ROUND)
    assert "DTSTART:20261127T073000Z" in told
    assert "DTEND:20261127T074500Z" in told
    assert "TRIGGER:-PT3H" in told
    assert "SUMMARY:Wind Night ferry\\, Almanac" in told


def test_a_service_is_a_whole_day_without_an_alarm() -> None:
    told = lines(SERVICE)
    assert "DTSTART;VALUE=DATE:20270301" in told
    assert "DTEND;VALUE=DATE:20270302" in told
    assert "BEGIN:VALARM" not in told


def test_the_newest_change_is_stamped_on_every_event() -> None:
    told = lines(ROUND, SERVICE)
    assert told.count("DTSTAMP:20261125T072500Z") == 2
    assert told.count("SEQUENCE:7") == 2


def test_no_events_are_a_feed_too() -> None:
    assert lines()[0] == "BEGIN:VCALENDAR"


@given(st.text(min_size=1, max_size=200).filter(lambda text: text.isprintable()))
def test_lines_are_folded_at_seventy_five_octets_and_end_in_crlf(nickname: str) -> None:
    # RFC 5545, 3.1.
    told = document([Event("u", AT, nickname)], CHANGED, 0)
    assert told.endswith(b"\r\n")
    assert all(len(line) <= 75 for line in told.split(b"\r\n"))
    told.decode("utf-8")
    assert b"\n" not in told.replace(b"\r\n", b"")
