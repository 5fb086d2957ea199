"""The calendar feed as RFC 5545 writes it; made from values, by a library."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from tracker.words import say

if TYPE_CHECKING:
    from icalendar import Calendar

LASTS = timedelta(minutes=15)
"""How long a round or a wind-by stands in a calendar: it is a moment, but a bar without length is not shown."""


@dataclass(frozen=True, slots=True)
class Event:
    """A moment in UTC, or (a date) a whole day, with its stable uid; the alarm rings `alarm_before` it, None: not at all."""

    uid: str
    at: datetime | date
    summary: str
    alarm_before: timedelta | None = None


def document(events: Iterable[Event], changed_at: datetime, sequence: int) -> bytes:
    """The feed: every event with the moment and the number of the newest change, which a reader goes by.

    Free time, so that no one's appointments collide with a watch.
    """
    import icalendar  # noqa: PLC0415 -- only the feed needs it

    feed = icalendar.Calendar()
    feed.add("prodid", "-//Going Barrel//Winding//EN")
    feed.add("version", "2.0")
    feed.add("method", "PUBLISH")
    feed.add("x-wr-calname", say("Winding"))
    feed.add("refresh-interval", timedelta(hours=1), parameters={"VALUE": "DURATION"})
    for event in events:
        _add(feed, event, changed_at, sequence)
    return bytes(feed.to_ical())


def _add(feed: "Calendar", event: Event, changed_at: datetime, sequence: int) -> None:
    import icalendar  # noqa: PLC0415 -- as above

    entry = icalendar.Event()
    entry.add("uid", event.uid)
    entry.add("dtstamp", changed_at)
    entry.add("last-modified", changed_at)
    entry.add("sequence", sequence)
    entry.add("summary", event.summary)
    entry.add("dtstart", event.at)
    entry.add("dtend", event.at + (LASTS if isinstance(event.at, datetime) else timedelta(days=1)))
    entry.add("transp", "TRANSPARENT")
    if event.alarm_before is not None:
        alarm = icalendar.Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("description", event.summary)
        alarm.add("trigger", -event.alarm_before)
        entry.add_component(alarm)
    feed.add_component(entry)
