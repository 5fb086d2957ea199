"""Channels on the command line. An address is never an argument: arguments stay in histories and lists of processes."""

import sys
from argparse import Namespace
from getpass import getpass

from tracker.channelwords import how_it_is
from tracker.cli.opened import Opened, opened, tell
from tracker.cli.table import show
from tracker.commands.build import build
from tracker.commands.channel import PauseChannel, RemoveChannel
from tracker.errors import NotFound, Unavailable
from tracker.reminders.trial import new_channel, try_out
from tracker.store import channels as shelf
from tracker.store.channels import Channel
from tracker.uids import new_uid
from tracker.words import say


def channel(args: Namespace) -> None:
    """Do one act."""
    with opened(args) as collection:
        _ACTS[args.act](args, collection)


def _list(_: Namespace, collection: Opened) -> None:
    db = collection.store.reading()
    found = shelf.channels(db)
    if not found:
        tell(say("No channel is set up yet: reminders show on the page alone. Add one: going channel add NAME"))
        return
    rows = [[each.name, how_it_is(db, each, collection.now, collection.zone)] for each in found]
    show([[say("channel"), say("how it is")], *rows])


def _add(args: Namespace, collection: Opened) -> None:
    asked = say("Its address (it is not shown): ")
    address = getpass(asked) if sys.stdin.isatty() else sys.stdin.readline()
    command = new_channel(collection.store, new_uid(collection.now), args.name, address)
    collection.change([command], say("Added: {name}. Try it: going channel test.", name=command.name))


def _meant(args: Namespace, collection: Opened) -> Channel:
    found = shelf.channel_named(collection.store.reading(), args.name.strip())
    if found is None:
        raise NotFound(say("No channel is called “{name}”. going channel list tells which there are.", name=args.name))
    return found


def _test(args: Namespace, collection: Opened) -> None:
    found = _meant(args, collection)
    answer = try_out(collection.store, found, collection.now)
    if answer.kind != "sent":
        raise Unavailable(say("{name}: not sent. {why}", name=found.name, why=answer.reason))
    tell(say("{name}: sent. Look whether it arrived.", name=found.name))


def _pause(args: Namespace, collection: Opened) -> None:
    found, paused = _meant(args, collection), args.act == "pause"
    said = say("Paused: {name}.", name=found.name) if paused else say("Goes on: {name}.", name=found.name)
    collection.change([build(PauseChannel, {"channel_uid": found.uid, "paused": paused})], said)


def _remove(args: Namespace, collection: Opened) -> None:
    found = _meant(args, collection)
    said = say("Removed: {name}. Its address is forgotten in a day.", name=found.name)
    collection.change([build(RemoveChannel, {"channel_uid": found.uid})], said)


_ACTS = {"list": _list, "add": _add, "test": _test, "pause": _pause, "go-on": _pause, "remove": _remove}
