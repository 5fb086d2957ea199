"""What commands brought with them, in words."""

from collections.abc import Sequence

from sqlite_utils import Database

from tracker.commands.base import Command
from tracker.commands.log import LogWear
from tracker.store import register
from tracker.words import say


def told(db: Database, brought: Sequence[Command]) -> str:
    """Which watches were laid down with what was commanded, as a sentence; empty where none was."""
    down = [register.watch(db, command.watch_uid) for command in brought if isinstance(command, LogWear)]
    names = ", ".join(watch.nickname for watch in down if watch is not None)
    return say("Laid down for it: {names}.", names=names) if names else ""
