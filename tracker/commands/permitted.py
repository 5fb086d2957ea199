"""Which commands a person may give. An owner: every one. A helper: those named here; a new one is the owner's until named."""

from tracker.commands.base import Command, EntryCommand, Who
from tracker.errors import Forbidden
from tracker.store.people import Person
from tracker.words import say

HELPERS_MAY = frozenset({"LogWind", "LogSighting", "AttachPhotograph", "EndTest", "Undo"})
"""Noting what was done and seen, which may end a run-down test, and taking one's own notes back."""

NO_PROGRAM_MAY = frozenset({"AddPerson", "EditPerson", "RemovePerson", "SetPassword", "AddToken", "EndToken"})
"""Who may come in is changed by people alone: else a token that was stolen could make others that outlive it."""


def refuse_strangers(person: Person | None, command: Command, who: Who) -> None:
    """Check that this person may give this command.

    Raises:
        Forbidden: no; or the person is not there any more.
    """
    if person is None:
        raise Forbidden(say("You are not among the people of this collection any more; nothing was changed."))
    kind = type(command).__name__
    _refuse_programs({kind}, who)
    if not (kind in HELPERS_MAY and not _corrects(command)):
        _refuse_helpers(person, who, say("Only an owner may do this; nothing was changed."))


def refuse_kinds(person: Person | None, kinds: set[str], who: Who) -> None:
    """Check that this person may take back changes of these kinds: they may have been an owner when they made them.

    Raises:
        Forbidden: no.
    """
    _refuse_programs(kinds, who)
    if not kinds <= HELPERS_MAY:
        _refuse_helpers(person, who, say("Only an owner may take this back; nothing was changed."))


def _refuse_programs(kinds: set[str], who: Who) -> None:
    if who.origin == "program" and kinds & NO_PROGRAM_MAY:
        raise Forbidden(say("Who may come in is changed by people, not by programs; nothing was changed."))


def _refuse_helpers(person: Person | None, who: Who, said: str) -> None:
    if person is None or person.role != "owner":
        raise Forbidden(said)
    if who.as_helper:
        raise Forbidden(say("This token may note winds and sightings and no more; nothing was changed."))


def _corrects(command: Command) -> bool:
    return isinstance(command, EntryCommand) and command.replaces is not None
