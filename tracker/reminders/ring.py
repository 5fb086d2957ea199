"""One ring of the bell: what is due is made due, what waits is sent."""

import logging
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from tracker.collection import preferences_of
from tracker.reminders import outbox
from tracker.reminders.answer import Answer
from tracker.reminders.links import LASTS, LINKS_AT, Link, key_of, sign
from tracker.reminders.message import Message
from tracker.reminders.outbox import Claim
from tracker.store import channels
from tracker.store.absences import is_away
from tracker.store.store import Store
from tracker.words import say

SENDS_A_RING = 5
"""So few that all of them, each at its limit of time, end well within one lease."""

Send = Callable[[str, Message], Answer]


def ring(store: Store, now: datetime, zone: ZoneInfo, send: Send) -> bool:
    """Make due what is due and send what waits; each send outside any transaction. Nothing of it while the owner is away.

    Channels are served side by side, and one that fails is not tried again in this ring: it holds up no other.

    Args:
        store: the collection.
        now: this moment.
        zone: the owner's, for the times in the sentences.
        send: carries one message to an address.

    Returns:
        Whether more may be waiting already: ring again.
    """
    with store.change() as db:
        if is_away(db, now):
            return False
        outbox.make_due(db, now)
        ways = [each.uid for each in channels.channels(db) if not each.paused]
    if not ways:
        return False
    with ThreadPoolExecutor(len(ways), thread_name_prefix="channel") as side_by_side:
        more = [side_by_side.submit(_serve, store, way, now, zone, send) for way in ways]
    # Every one is asked, so that no failure passes unseen.
    return any(list(map(Future.result, more)))


def _serve(store: Store, channel: str, now: datetime, zone: ZoneInfo, send: Send) -> bool:
    """Send what waits on one channel; returns whether more may."""
    try:
        for _ in range(SENDS_A_RING):
            with store.change() as db:
                claim = outbox.claim(db, now, channel)
            if claim is None or not _deliver(store, claim, now, zone, send):
                return False
        return True
    finally:
        store.leave()


def _deliver(store: Store, claim: Claim, now: datetime, zone: ZoneInfo, send: Send) -> bool:
    """Carry out one claim; returns whether its channel is in order."""
    with store.change() as db:
        message = outbox.look_again(db, claim, now, zone)
        address = channels.address_of(db, claim.channel)
        base = preferences_of(db).values.base_address
    if message is None:
        return True
    if base:
        message = replace(message, link=_link(base, claim, now, store.path.parent))
    answer = _answer(send, address, message)
    with store.change() as db:
        outbox.settle(db, claim, answer, now)
    if answer.kind != "sent":
        logging.getLogger(__name__).warning("Reminder %s: %s", message.key, answer.reason)
    return answer.kind in {"sent", "refused"}


def _link(base: str, claim: Claim, now: datetime, folder: Path) -> str:
    asked = Link(claim.reminder_uid, claim.telling, now + LASTS)
    return f"{base}{LINKS_AT}{sign(asked, key_of(folder))}"


def _answer(send: Send, address: str, message: Message) -> Answer:
    try:
        return send(address, message)
    except Exception as error:  # noqa: BLE001 -- recorded and retried; the others must not suffer
        return Answer("failed", say("The channel broke down ({kind}).", kind=type(error).__name__))
