"""Which commands a person may give. An owner: every one. A helper: those named here; a new one is the owner's until named."""

from tracker.commands.base import Command, EntryCommand
from tracker.errors import Forbidden
from tracker.store.people import Person
from tracker.words import say

HELPERS_MAY = frozenset({"LogWind", "LogSighting", "AttachPhotograph", "EndTest", "Undo"})
"""Noting what was done and seen, which may end a run-down test, and taking one's own notes back."""


def refuse_strangers(person: Person | None, command: Command) -> None:
    """Check that this person may give this command.

    Raises:
        Forbidden: no; or the person is not there any more.
    """
    if person is None:
        raise Forbidden(say("You are not among the people of this collection any more; nothing was changed."))
    if person.role != "owner" and not (type(command).__name__ in HELPERS_MAY and not _corrects(command)):
        raise Forbidden(say("Only an owner may do this; nothing was changed."))


def refuse_kinds(person: Person | None, kinds: set[str]) -> None:
    """Check that this person may take back changes of these kinds: they may have been an owner when they made them.

    Raises:
        Forbidden: no.
    """
    if person is None or (person.role != "owner" and not kinds <= HELPERS_MAY):
        raise Forbidden(say("Only an owner may take this back; nothing was changed."))


def _corrects(command: Command) -> bool:
    return isinstance(command, EntryCommand) and command.replaces is not None
