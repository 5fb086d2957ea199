"""A channel added and tried out, alike from the page and from the command line."""

from datetime import datetime

from tracker.commands.build import build
from tracker.commands.channel import AddChannel
from tracker.errors import BadInput
from tracker.reminders.answer import Answer
from tracker.reminders.message import Message
from tracker.store import channels as shelf
from tracker.store.channels import Channel
from tracker.store.store import Store
from tracker.uids import new_uid, uid_of
from tracker.words import say


def new_channel(store: Store, uid: str, name: str, address: str) -> AddChannel:
    """The command that adds a channel; its address is laid down apart, so that no record holds it.

    Raises:
        Rejected, BadInput: the name or the address can't be taken; nothing is laid down.
    """
    # What is wrong with the name is told before anything is laid down.
    command = build(AddChannel, {"uid": uid, "name": name, "address_uid": _address_uid(uid)})
    lay_down(store, address, uid)
    return command


def lay_down(store: Store, address: str, uid: str) -> str:
    """Lay down the address of a channel to come, and tell the uid by which its command will know it.

    Raises:
        BadInput: it can't be taken; nothing is laid down.
    """
    from tracker.reminders.channel import open_channel  # noqa: PLC0415 -- Apprise is needed only to send

    address = address.strip()
    if not address:
        raise BadInput(say("This is needed."), field="address")
    open_channel(address, uid)
    with store.change() as db:
        shelf.keep_address(db, _address_uid(uid), address)
    return _address_uid(uid)


def _address_uid(uid: str) -> str:
    return uid_of("channel address", uid)


def try_out(store: Store, channel: Channel, now: datetime) -> Answer:
    """Send a test message by a channel, paused or not."""
    from tracker.reminders import deliver  # noqa: PLC0415 -- as above

    text = say("This is a test: reminders will come here.")
    address = shelf.address_of(store.reading(), channel.uid)
    return deliver.send(address, Message(say("Going Barrel"), text, new_uid(now)))
