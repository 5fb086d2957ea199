"""How the channels to the owner are, in words. No address is ever told."""

from datetime import datetime
from zoneinfo import ZoneInfo

from sqlite_utils import Database

from tracker import phrases
from tracker.store import channels as shelf
from tracker.store import reminders as rows
from tracker.store.channels import Channel, Rest
from tracker.store.moments import from_text
from tracker.words import say


def how_it_is(db: Database, channel: Channel, now: datetime, zone: ZoneInfo) -> str:
    """Whether a channel is in use, and how its last message fared."""
    rest = shelf.rest_of(db, channel.uid)
    if channel.paused:
        return say("paused")
    if rest is not None:
        return _fails(rest, now, zone)
    last = rows.last_ended(db, channel.uid)
    if last is None:
        return say("in use; nothing sent yet")
    if last["state"] == "given up":
        return say("refused the last message: {why}", why=last["last_error"])
    if last["sent_at_utc"] is None:
        return say("in use; whether the last message arrived is not known")
    return say("in use; last sent {when}", when=phrases.when(from_text(last["sent_at_utc"]), now, zone))


def _fails(rest: Rest, now: datetime, zone: ZoneInfo) -> str:
    since = phrases.when(rest.since, now, zone)
    if rest.until <= now:
        return say("fails since {since}; tried again now", since=since)
    return say("fails since {since}; tried again {when}", since=since, when=phrases.when(rest.until, now, zone))


def failing(db: Database, now: datetime, zone: ZoneInfo) -> list[str]:
    """A sentence for each channel that failed last and is not paused."""
    found = [(each, shelf.rest_of(db, each.uid)) for each in shelf.channels(db) if not each.paused]
    return [
        say("{name} {how}.", name=each.name, how=_fails(rest, now, zone)) for each, rest in found if rest is not None
    ]
