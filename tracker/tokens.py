"""Tokens for programs: made once, shown once, known again by their hash."""

import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from tracker.commands.build import build
from tracker.commands.token import AddToken
from tracker.sessions import NOTED_EVERY, hash_of
from tracker.store import people
from tracker.store import tokens as shelf
from tracker.store.people import Person
from tracker.store.store import Store
from tracker.store.tokens import Scope
from tracker.uids import uid_of

BEGINS = "going_"
"""So that whoever finds one in a file knows what it opens."""


@dataclass(frozen=True, slots=True)
class Bearer:
    """In whose name a program acts, and how far: `read` looks, `log` notes winds and sightings too, `all` does all."""

    person: Person
    scope: Scope


def new_token(store: Store, uid: str, fields: Mapping[str, object]) -> tuple[AddToken, str]:
    """The command that adds a token, and the secret itself, which is kept nowhere.

    `fields` are the command's `name`, `scope` and `expires`.

    Raises:
        Rejected: what can't be taken, by field; nothing is laid down.
    """
    secret_uid = uid_of("token", uid)
    command = build(AddToken, {**fields, "uid": uid, "secret_uid": secret_uid})
    secret = f"{BEGINS}{secrets.token_urlsafe(32)}"
    with store.change() as db:
        people.forget_hash(db, secret_uid)
        people.keep_hash(db, secret_uid, hash_of(secret))
    return command, secret


def person_of_token(store: Store, secret: str, now: datetime) -> Bearer | None:
    """Whose token this is and what it opens; None where it opens nothing: ended, expired, unknown, its person gone."""
    db = store.reading()
    token = shelf.token_of_hash(db, hash_of(secret), now)
    person = people.person(db, token.person_uid) if token else None
    if token is None or person is None:
        return None
    if token.used is None or now - token.used >= NOTED_EVERY:
        with store.change() as changing:
            shelf.note_use(changing, token.uid, now)
    return Bearer(person, token.scope)
