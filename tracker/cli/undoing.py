"""Taking back the newest change, and saying which that was."""

from argparse import Namespace

from tracker.cli.opened import opened, tell
from tracker.commands.door import submit
from tracker.commands.undo import Undo
from tracker.newest import newest_change
from tracker.words import say


def undo(args: Namespace) -> None:
    """Take back the owner's newest change."""
    with opened(args) as collection:
        store, who = collection.store, collection.who
        change = newest_change(store.reading(), who.person_uid, collection.now, collection.zone)
        submit(store, [Undo(batch=change.batch if change else None)], who)
        tell(say("Taken back: {told}.", told=change.told if change else ""))
