"""Channels for tests: what the owner would set up on the page."""

from datetime import datetime
from zoneinfo import ZoneInfo

import tests.reminders.mailplugin  # noqa: F401 -- whoever sets up a channel loads it
from tracker.collection import owner
from tracker.commands.channel import AddChannel, RemoveChannel
from tracker.commands.door import submit
from tracker.reminders.ring import Send, ring
from tracker.store import channels as shelf
from tracker.store.store import Store
from tracker.uids import uid_of

ADDED = datetime.fromisoformat("2026-11-25T07:25:00+00:00")
FIRST = uid_of("channel", "first")


def add(store: Store, name: str, address: str, uid: str = "") -> str:
    """Set up a channel; returns its uid."""
    address_uid = uid_of("address", uid or name)
    with store.change() as db:
        shelf.keep_address(db, address_uid, address)
    command = AddChannel(uid=uid or uid_of("channel", name), name=name, address_uid=address_uid)
    submit(store, [command], owner(store, "page", ADDED))
    return command.uid


def remove(store: Store, uid: str) -> None:
    submit(store, [RemoveChannel(channel_uid=uid)], owner(store, "page", ADDED))


def ring_to(store: Store, now: datetime, address: str, zone: ZoneInfo, send: Send) -> bool:
    """Ring for the one channel `first`, which has this address; none is set up where it is empty."""
    if address and shelf.channel(store.reading(), FIRST) is None:
        add(store, "first", address, FIRST)
    elif address and shelf.address_of(store.reading(), FIRST) != address:
        with store.change() as db:
            db.execute("UPDATE channel_address SET address = ?", [address])
    return ring(store, now, zone, send)
