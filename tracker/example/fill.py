"""Filling an empty collection with the example, through the one door."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from tracker import derive
from tracker.collection import owner, preferences
from tracker.commands.attachment import attaching_to
from tracker.commands.barrel import KeepBarrel
from tracker.commands.base import Command, EntryCommand
from tracker.commands.benchtest import StartTest
from tracker.commands.door import Then, submit
from tracker.commands.log import LogService, LogWind
from tracker.commands.portrait import adding
from tracker.commands.register import RegisterWatch
from tracker.example.cast import BAR_BUOY, BENCH_TWO, CAST, NIGHT_FERRY
from tracker.example.days import Days
from tracker.example.life import Lived, lived
from tracker.example.role import Role
from tracker.example.routine import intents
from tracker.example.sketch import dial_sketch, spring_sketch
from tracker.example.springs import BARRELS
from tracker.example.timed import readings
from tracker.photofile import Portrait, attachable, keep, portrait
from tracker.store.command_log import first_origin
from tracker.store.store import Store
from tracker.uids import uid_of


def fill(store: Store, now: datetime, *, then: Then = derive.catch_up) -> None:
    """Register the example's watches with three years of their past up to `now`; not where anything was ever changed.

    `then` sees to their estimates, as with every change.
    """
    if first_origin(store.reading()) is None:
        keep(store.path.parent, attachable(spring_sketch()))
        for taken in portraits().values():
            keep(store.path.parent, taken.large)
            keep(store.path.parent, taken.small)
        submit(store, commands(now, preferences(store).zone), owner(store, "example", now), then=then)


def commands(now: datetime, zone: ZoneInfo) -> Sequence[Command]:
    """Everything that the example consists of: watches, their past, barrels, readings. The same `now`, the same commands."""
    past = [entry for life in lives(now, zone).values() for entry in life.entries]
    kept = [*_pictures(past), *_portraits(), *_barrels(), *readings(Days(now, zone)), _on_the_bench(past)]
    return [*(_registered(role, now, zone) for role in CAST), *past, *kept]


def _on_the_bench(past: Sequence[EntryCommand]) -> StartTest:
    """The visiting watchmaker lets a customer's watch run down."""
    uid = watch_uid(BENCH_TWO.fields.nickname)
    wound = [entry for entry in past if isinstance(entry, LogWind) and entry.watch_uid == uid][-1]
    return StartTest(
        uid=uid_of("test", wound.uid), watch_uid=uid, wind_uid=wound.uid, occasion="after service", position="CH"
    )


def _registered(role: Role, now: datetime, zone: ZoneInfo) -> RegisterWatch:
    fields = role.fields.model_dump(exclude_unset=True)
    if role.job is not None:
        today = now.astimezone(zone).date()
        fields["came_in"] = today - timedelta(days=role.job.came_in_days_ago)
        fields["promised_for"] = today + timedelta(days=role.job.promised_in_days)
    return RegisterWatch(uid=watch_uid(role.fields.nickname), **fields)


def _barrels() -> list[Command]:
    """What is known of some barrels."""
    return [
        KeepBarrel(uid=uid_of("example", "barrel", nickname), watch_uid=watch_uid(nickname), **known)
        for nickname, known in BARRELS.items()
    ]


def _pictures(past: Sequence[Command]) -> list[Command]:
    """The made picture, with the newest service of each watch that has one."""
    pictured = {watch_uid(role.fields.nickname) for role in CAST for each in role.spring.services if each.pictured}
    services = {
        each.watch_uid: each.uid for each in past if isinstance(each, LogService) and each.watch_uid in pictured
    }
    sketch = attachable(spring_sketch())
    return [attaching_to(uid, sketch, "The spring that was taken out", uid) for uid in services.values()]


def portraits() -> dict[str, Portrait]:
    """The photographs of watches themselves, by nickname."""
    return {
        BAR_BUOY.fields.nickname: portrait(dial_sketch("#5d4a3a", "#efe9da", (4, 37))),
        NIGHT_FERRY.fields.nickname: portrait(dial_sketch("#33424d", "#dfe3dd", (10, 9))),
    }


def _portraits() -> list[Command]:
    return [adding(watch_uid(nickname), taken, watch_uid(nickname)) for nickname, taken in portraits().items()]


def lives(now: datetime, zone: ZoneInfo) -> dict[str, Lived]:
    """The lives of the watches by nickname: what was noted, and what was true."""
    days = Days(now, zone)
    return {
        role.fields.nickname: lived(role, watch_uid(role.fields.nickname), intents(role, days), days) for role in CAST
    }


def watch_uid(nickname: str) -> str:
    """The uid of a watch of the example: the same in every example collection, so that addresses stay."""
    return uid_of("example", nickname)
