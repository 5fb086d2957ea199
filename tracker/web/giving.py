"""A change that a program gives: once under its key, and answered alike however often it is asked."""

from dataclasses import replace

from tracker import collection
from tracker.api import answers
from tracker.api.commands import Asked
from tracker.commands.base import Command, Who
from tracker.commands.door import submit
from tracker.errors import BadInput, Conflict
from tracker.photofile import place
from tracker.store import command_log
from tracker.web import bearer
from tracker.web.request import now, store, then, visitor
from tracker.words import say

FILES = ("sha256", "small_sha256")
"""Fields that name a file by its hash."""


def who() -> Who:
    """Who gives the commands of this request, and how far they may go."""
    given, found = collection.owner(store(), "program", now()), visitor()
    person_uid = given.person_uid if found is None else found.person.uid
    return replace(given, person_uid=person_uid, as_helper=bearer.scope() != "all")


def give(asked: Asked, command: Command) -> answers.Done:
    """Apply the command, unless it was; what came of it is read off the log of changes, so that it is the same each time.

    Raises:
        GoingError: what is in the way; nothing is kept.
        Conflict: something else was given under this key, or by someone else.
    """
    _files_lie_there(command)
    giver = who()
    done = submit(store(), [command], giver, then=then())
    record = command_log.find_command(store().reading(), command.uid)
    if record is None or not (done.applied or _same(record, command, giver)):
        raise Conflict(
            say("This key already names another change; nothing was saved. Give each change a key of its own.")
        )
    rows = command_log.given_after(store().reading(), record["batch"], record["number"])
    return answers.Done(
        uid=command.uid, batch=record["batch"], command=asked.name, with_it=answers.kinds_beside(rows, command.uid)
    )


def _same(record: dict[str, object], command: Command, giver: Who) -> bool:
    return record["payload"] == command.model_dump_json() and record["person_uid"] == giver.person_uid


def _files_lie_there(command: Command) -> None:
    """Check that the files that a command names were sent in.

    Raises:
        BadInput: one was not.
    """
    for field in FILES:
        named = getattr(command, field, None)
        if named is not None and not place(store().path.parent, named).is_file():
            raise BadInput(
                say("There is no file of this hash."),
                field=field,
                accepted=say("Send it to /api/files or /api/portraits first."),
            )
