"""A collection at the bell: what is told, and when, as the moments pass."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from tests.reminders.channels import ring_to
from tests.web.rounds import NOW
from tracker.collection import owner
from tracker.commands.base import Command
from tracker.commands.door import submit
from tracker.commands.log import LogWind
from tracker.commands.register import RegisterWatch
from tracker.digests import judge
from tracker.reminders.answer import Answer
from tracker.reminders.message import Message
from tracker.reminders.reminder import Call, round_from_row
from tracker.reminders.roundfacts import RoundFacts
from tracker.store.rows import all_rows
from tracker.store.store import Store

MINUTE = timedelta(minutes=1)
UTC_ZONE = ZoneInfo("UTC")
TODAY = NOW.replace(hour=7, minute=30)
"""Five minutes after NOW, a Wednesday."""


def give(store: Store, now: datetime, *commands: Command) -> None:
    submit(store, commands, owner(store, "page", now))


def kept(store: Store, nickname: str, wound_at: datetime, **more: object) -> str:
    watch = RegisterWatch.model_validate({"nickname": nickname, "stated_reserve_h": 40, "habit": "keep going", **more})
    give(store, NOW, watch, wind(watch.uid, wound_at))
    return watch.uid


def wind(uid: str, at: datetime) -> LogWind:
    return LogWind(watch_uid=uid, at=at, zone="UTC", found="going", hands="left")


class Bell:
    """Rings as the program does: judge, then tell."""

    def __init__(self, store: Store) -> None:
        self.store, self.told = store, list[Message]()
        self.looked: datetime | None = None
        self.answer = Answer("sent")

    def ring(self, now: datetime) -> None:
        judge(self.store, now, self.looked)
        self.looked = now
        while ring_to(self.store, now, "http://x", UTC_ZONE, self.send):
            pass

    def send(self, _address: str, message: Message) -> Answer:
        self.told.append(message)
        return self.answer

    @property
    def titles(self) -> list[str]:
        return [each.title for each in self.told]


def rounds(store: Store) -> list[Call[RoundFacts]]:
    rows = all_rows(store.reading(), "SELECT * FROM reminder WHERE kind = 'round' ORDER BY due_utc")
    return [round_from_row(row) for row in rows]


def ring_through(
    bell: Bell, first: datetime, last: datetime, every: timedelta = 15 * MINUTE
) -> list[tuple[str, datetime]]:
    """Ring every so often; the kind and the moment of what was told."""
    told, moment = list[tuple[str, datetime]](), first
    while moment <= last:
        before = len(bell.told)
        bell.ring(moment)
        told += [(each.key.split("/")[0], moment) for each in bell.told[before:]]
        moment += every
    return told
