"""Tokens made and ended. A token is named by the uid its hash was laid down under; its secret is shown once, elsewhere."""

from tracker.commands.base import Command, Who
from tracker.commands.fields import Moment, Uid
from tracker.commands.person import PersonName
from tracker.errors import BadInput, NotFound
from tracker.store import people, tokens
from tracker.store.moments import to_text
from tracker.store.tokens import Scope
from tracker.store.writer import Writer
from tracker.words import say


class AddToken(Command):
    """A token for whoever gives this; the command's uid becomes the token's."""

    name: PersonName
    scope: Scope = "read"
    expires: Moment | None = None
    secret_uid: Uid

    def apply(self, writer: Writer, who: Who) -> None:
        if any(each.name.casefold() == self.name.casefold() for each in tokens.tokens(writer.db, who.now)):
            raise BadInput(
                say("There is already a token called “{name}”.", name=self.name),
                field="name",
                accepted=say("Choose another name."),
            )
        if self.expires is not None and self.expires <= who.now:
            raise BadInput(
                say("By then it would have ended already."), field="expires", accepted=say("Give a later day.")
            )
        if not people.hash_of(writer.db, self.secret_uid):
            raise NotFound(say("There is no such secret, or no longer."))
        row = {"uid": self.uid, "name": self.name, "person_uid": who.person_uid, "secret_uid": self.secret_uid}
        ends = self.expires and to_text(self.expires)
        writer.insert("token", {**row, "scope": self.scope, "added_utc": to_text(who.now), "expires_utc": ends})


class EndToken(Command):
    """The token opens nothing any more."""

    token_uid: Uid
    version: int | None = None

    def apply(self, writer: Writer, who: Who) -> None:
        if all(each.uid != self.token_uid for each in tokens.tokens(writer.db, who.now)):
            raise NotFound(say("There is no such token, or no longer."))
        writer.edit("token", self.token_uid, self.version, {"ended_utc": to_text(who.now)})
