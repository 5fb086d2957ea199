"""One ring of the bell: what is due is made due, what waits is sent."""

import logging
from collections.abc import Callable
from datetime import datetime
from functools import partial
from zoneinfo import ZoneInfo

from tracker.reminders import outbox
from tracker.reminders.answer import Answer
from tracker.reminders.message import Message
from tracker.reminders.outbox import Claim
from tracker.store.store import Store
from tracker.words import say

SENDS_A_RING = 5
"""So few that all of them, each at its limit of time, end well within one lease."""

Send = Callable[[str, Message], Answer]


def ring(store: Store, now: datetime, address: str, zone: ZoneInfo, send: Send) -> bool:
    """Make due what is due and send what waits; each send outside any transaction.

    A channel that fails is not tried again in this ring, so that it holds up nothing else.

    Args:
        store: the collection.
        now: this moment.
        address: the owner's; empty, and messages wait for one.
        zone: the owner's, for the times in the sentences.
        send: carries one message to the address.

    Returns:
        Whether more may be waiting already: ring again.
    """
    with store.change() as db:
        outbox.make_due(db, now)
    without = set() if address else {outbox.ADDRESS}
    for _ in range(SENDS_A_RING):
        with store.change() as db:
            claim = outbox.claim(db, now, without=without)
        if claim is None:
            return False
        if not _deliver(store, claim, now, zone, partial(_answer, send, address)):
            without.add(claim.channel)
    return True


def _deliver(store: Store, claim: Claim, now: datetime, zone: ZoneInfo, carry: Callable[[Message], Answer]) -> bool:
    """Carry out one claim; returns whether its channel is in order."""
    with store.change() as db:
        message = outbox.look_again(db, claim, now, zone)
    if message is None:
        return True
    answer = carry(message)
    with store.change() as db:
        outbox.settle(db, claim, answer, now)
    if answer.kind != "sent":
        logging.getLogger(__name__).warning("Reminder %s: %s", message.key, answer.reason)
    return answer.kind in {"sent", "refused"}


def _answer(send: Send, address: str, message: Message) -> Answer:
    try:
        return send(address, message)
    except Exception as error:  # noqa: BLE001 -- recorded and retried; the others must not suffer
        return Answer("failed", say("The channel broke down ({kind}).", kind=type(error).__name__))
