"""Persons who come, go, and change. A password is named by the uid its hash was laid down under, never in clear."""

from typing import Annotated

from pydantic import StringConstraints

from tracker.commands.base import Command, Who
from tracker.commands.fields import Uid
from tracker.errors import BadInput, Conflict, NotFound
from tracker.store import people
from tracker.store.moments import to_text
from tracker.store.people import Person, Role
from tracker.store.writer import Writer
from tracker.words import say

PersonName = Annotated[
    str, StringConstraints(strip_whitespace=True, min_length=1, max_length=40, pattern=r"^[^\x00-\x1f]+$")
]


class AddPerson(Command):
    """A person who logs, too; the command's uid becomes the person's. A password is set apart from this."""

    name: PersonName
    role: Role = "helper"

    def apply(self, writer: Writer, who: Who) -> None:
        _refuse_taken(writer, self.name)
        row = {"uid": self.uid, "name": self.name, "role": self.role, "added_utc": to_text(who.now)}
        writer.insert("person", row)


class OfPerson(Command):
    """A command about one person, in the version its sender saw."""

    person_uid: Uid
    version: int | None = None

    def person(self, writer: Writer) -> Person:
        """The person meant."""
        found = people.person(writer.db, self.person_uid)
        if found is None:
            raise NotFound(say("There is no such person, or no longer."))
        return found

    def edit(self, writer: Writer, columns: dict[str, object]) -> None:
        """Change these columns; somebody must be left who may do everything."""
        writer.edit("person", self.person_uid, self.version, columns)
        if not people.has_owner(writer.db):
            raise Conflict(
                say("The last owner has to stay one; nothing was changed. Make somebody else an owner first.")
            )


class EditPerson(OfPerson):
    """Another name or role."""

    name: PersonName
    role: Role

    def apply(self, writer: Writer, who: Who) -> None:  # noqa: ARG002 -- every command takes both
        found = self.person(writer)
        if found.name.casefold() != self.name.casefold():
            _refuse_taken(writer, self.name)
        self.edit(writer, {"name": self.name, "role": self.role})


class RemovePerson(OfPerson):
    """The person may not come in any more; what they noted stays."""

    def apply(self, writer: Writer, who: Who) -> None:
        self.person(writer)
        self.edit(writer, {"removed_utc": to_text(who.now)})


class SetPassword(OfPerson):
    """From now on this person's password is the one whose hash was laid down under that uid; the former is forgotten."""

    secret_uid: Uid

    def apply(self, writer: Writer, who: Who) -> None:  # noqa: ARG002 -- every command takes both
        former = self.person(writer).secret_uid
        if not people.hash_of(writer.db, self.secret_uid):
            raise NotFound(say("There is no such password, or no longer."))
        self.edit(writer, {"secret_uid": self.secret_uid})
        people.forget_hash(writer.db, former)


def _refuse_taken(writer: Writer, name: str) -> None:
    if people.person_named(writer.db, name) is not None:
        raise BadInput(
            say("There is already someone called “{name}”.", name=name),
            field="name",
            accepted=say("Choose another name."),
        )
