"""Carrying one message to an address of the owner's, through Apprise, within a hard limit of time."""

import threading
from contextvars import copy_context
from queue import Empty, SimpleQueue

from tracker.errors import BadInput
from tracker.reminders.answer import Answer
from tracker.reminders.channel import open_channel
from tracker.reminders.message import Message
from tracker.reminders.witness import witness
from tracker.words import say

LIMIT_S = 20.0
"""Apprise's own limits are on connecting and on each wait for a byte; this one is on the whole."""


def send(address: str, message: Message, *, limit_s: float = LIMIT_S) -> Answer:
    """Send a message and wait for the channel's answer.

    Args:
        address: as `open_channel` takes it; it appears in no log and no reason.
        message: what to say.
        limit_s: after this many seconds it counts as unanswered.
    """
    answers: SimpleQueue[Answer] = SimpleQueue()
    carry = copy_context().run  # it speaks as this thread does
    threading.Thread(target=carry, args=(_carry, address, message, answers), name="reminding", daemon=True).start()
    try:
        return answers.get(timeout=limit_s)
    except Empty:
        return Answer("unanswered", say("No answer came within {n} s.", n=round(limit_s)))


def _carry(address: str, message: Message, answers: SimpleQueue[Answer]) -> None:
    try:
        answers.put(_send(address, message))
    except BadInput as problem:
        answers.put(Answer("refused", problem.sentence))
    except Exception as error:  # noqa: BLE001 -- whatever a channel throws, the reminder must go on
        # Its type alone: the text may hold the address.
        answers.put(Answer("unanswered", say("The channel broke down ({kind}).", kind=type(error).__name__)))


def _send(address: str, message: Message) -> Answer:
    channel = open_channel(address, message.key)
    with witness() as seen:
        sent = channel.notify(body=message.body, title=message.title, body_format="text")
    return Answer("sent") if sent else seen.answer()
