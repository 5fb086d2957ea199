from dataclasses import replace
from datetime import timedelta
from zoneinfo import ZoneInfo

from tracker.commands.base import Who
from tracker.commands.door import COMMANDS, submit
from tracker.commands.log import LogWind
from tracker.commands.register import RegisterWatch
from tracker.commands.undo import Undo
from tracker.newest import KINDS, newest_change
from tracker.store.store import Store

ZONE = ZoneInfo("Europe/Lisbon")


def _told(store: Store, who: Who) -> str | None:
    change = newest_change(store.reading(), who.person_uid, who.now, ZONE)
    return None if change is None else change.told


def test_every_command_that_can_be_undone_has_its_words() -> None:
    assert COMMANDS.keys() - KINDS.keys() == {"Undo"}


def test_it_says_what_of_which_watches_and_when(store: Store, who: Who) -> None:
    assert _told(store, who) is None
    watches = [RegisterWatch(nickname=name) for name in ("Night ferry", "Chart room")]
    submit(store, watches, who)
    assert _told(store, who) == "two watches added (Chart room, Night ferry), given today 07:25"
    submit(store, [LogWind(watch_uid=watches[0].uid, at=who.now, zone="UTC")], who)
    later = replace(who, now=who.now + timedelta(days=1))
    assert _told(store, later) == "a winding (Night ferry), given yesterday 07:25"
    submit(store, [Undo()], who)
    assert _told(store, who) == "two watches added (Chart room, Night ferry), given today 07:25"


def test_of_many_watches_a_few_are_named(store: Store, who: Who) -> None:
    submit(store, [RegisterWatch(nickname=f"Watch {i}") for i in range(9)], who)
    told = _told(store, who)
    assert told is not None
    assert told.startswith("nine watches added (Watch ")
    assert told.count("Watch ") == 6
    assert "…)" in told
