"""Passwords: only their argon2id hash is kept, with the parameters that argon2-cffi takes from RFC 9106."""

import secrets
from functools import cache

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from tracker.commands.build import build
from tracker.commands.person import SetPassword
from tracker.errors import BadInput
from tracker.store import people, sessions
from tracker.store.people import Person
from tracker.store.store import Store
from tracker.uids import uid_of
from tracker.words import say

LEAST_LETTERS = 10
MOST_LETTERS = 500
"""More is nobody's password; hashing it would only keep the machine busy."""


def new_password(store: Store, uid: str, person: Person, password: str) -> SetPassword:
    """The command that sets a password; its hash is laid down apart, so that no record holds it.

    Raises:
        BadInput: it is too short or too long; nothing is laid down.
    """
    refuse_weak(password)
    secret_uid = uid_of("password", uid)
    command = build(SetPassword, {"uid": uid, "person_uid": person.uid, "secret_uid": secret_uid})
    hashed = _hasher().hash(password)
    with store.change() as db:
        people.keep_hash(db, secret_uid, hashed)
    return command


def refuse_weak(password: str) -> None:
    """Check its length alone: what kinds of characters it has is its owner's business.

    Raises:
        BadInput: it is too short or too long.
    """
    if len(password) < LEAST_LETTERS:
        raise BadInput(
            say("This password is too short."),
            field="password",
            accepted=say(
                "Give at least {n} characters; a few words that do not belong together will do.", n=LEAST_LETTERS
            ),
        )
    if len(password) > MOST_LETTERS:
        raise BadInput(
            say("This password is too long."),
            field="password",
            accepted=say("Give at most {n} characters.", n=MOST_LETTERS),
        )


def matches(hashed: str, password: str) -> bool:
    """Whether this is the password; without a hash to compare with, the same work is done in vain."""
    try:
        _hasher().verify(hashed or _nobodys(), password[:MOST_LETTERS])
    except (VerificationError, InvalidHashError):
        return False
    return bool(hashed)


def end_sessions(store: Store, person_uid: str, *, but: str = "") -> None:
    """After a change of password: whoever came in by the former one is out, save the session of this uid."""
    with store.change() as db:
        sessions.end_of_person(db, person_uid, but=but)


@cache
def _hasher() -> PasswordHasher:
    return PasswordHasher()


@cache
def _nobodys() -> str:
    """The hash of a password that nobody knows."""
    return _hasher().hash(secrets.token_hex())
