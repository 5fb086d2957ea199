"""Logging in: who may try when, whether it was right, and what a browser keeps of it."""

import hashlib
import ipaddress
import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import ceil

from tracker import passwords
from tracker.errors import GoingError
from tracker.store import people
from tracker.store import sessions as shelf
from tracker.store.people import Person
from tracker.store.sessions import Session
from tracker.store.store import Store
from tracker.uids import new_uid
from tracker.words import say

TRUSTED = timedelta(days=180)
PASSING = timedelta(hours=12)
NOTED_EVERY = timedelta(minutes=10)
"""That a session is used is written no more often."""
FORGOTTEN_AFTER = timedelta(days=1)
EVERYONE = "all"
FREE_TRIES = {"one": 3, EVERYONE: 20}
LONGEST_S = {"one": 900.0, EVERYONE: 60.0}
"""The longest wait of one address, and of all together: so strangers can't keep the owner out for long."""
HOUSEHOLD_BITS = 64
"""A household on IPv6 has as many addresses as it likes under one prefix of this length."""


class TooManyTries(GoingError):
    """Someone who has to wait before the next try; `wait_s` says how long."""

    status = 429

    def __init__(self, wait_s: int) -> None:
        super().__init__(say("Too many wrong tries. The next is taken in {n} s.", n=wait_s))
        self.wait_s = wait_s


class WrongPassword(GoingError):
    """A name and a password that do not belong together; which of them is wrong is not told."""

    status = 403

    def __init__(self) -> None:
        super().__init__(say("This name and this password do not belong together."))


@dataclass(frozen=True, slots=True)
class LoggedIn:
    """Who a session belongs to."""

    session: Session
    person: Person


def log_in(store: Store, name: str, password: str, *, source: str, trusted: bool, browser: str, now: datetime) -> str:
    """Begin a session and give what its cookie is to hold; of that only the hash is kept.

    Every try counts as wrong until it has proved right, so that many at once win nothing. From this machine itself
    nobody has to wait: nobody can keep its owner out. No name at all is the owner who has been there longest.

    Raises:
        TooManyTries: it is too soon for another try; the password was not looked at.
        WrongPassword: there is no such person, or it is not theirs.
    """
    counted = source_of(source)
    if counted is not None:
        _count(store, counted, now)
    db = store.reading()
    person = people.person_named(db, name) if name.strip() else people.first_owner(db)
    hashed = people.hash_of(db, person.secret_uid) if person else ""
    if not passwords.matches(hashed, password) or person is None:
        raise WrongPassword
    key = secrets.token_urlsafe(32)
    ends = now + (TRUSTED if trusted else PASSING)
    session = Session(
        uid=new_uid(now), person_uid=person.uid, trusted=trusted, browser=browser, begun=now, used=now, ends=ends
    )
    with store.change() as changing:
        shelf.begin(changing, hash_of(key), session)
        if counted is not None:
            shelf.was_right(changing, counted, EVERYONE)
    return key


def logged_in(store: Store, key: str, now: datetime) -> LoggedIn | None:
    """Whose session this cookie is of; None where it holds no longer, or the person is gone."""
    db = store.reading()
    session = shelf.session_of_hash(db, hash_of(key), now) if key else None
    person = people.person(db, session.person_uid) if session else None
    if session is None or person is None:
        return None
    if now - session.used >= NOTED_EVERY:
        with store.change() as changing:
            shelf.note_use(changing, session.uid, now)
    return LoggedIn(session, person)


def log_out(store: Store, uid: str) -> None:
    """End a session."""
    with store.change() as db:
        shelf.end(db, uid)


def hash_of(key: str) -> str:
    """What is kept of a secret of 256 bits of chance: nobody guesses one, so a quick hash does."""
    return hashlib.sha256(key.encode()).hexdigest()


def source_of(address: str) -> str | None:
    """What tries from this address are counted under; None for this machine itself."""
    try:
        found = ipaddress.ip_address(address)
    except ValueError:
        return "unknown"
    if isinstance(found, ipaddress.IPv6Address):
        found = found.ipv4_mapped or found
    if found.is_loopback:
        return None
    if isinstance(found, ipaddress.IPv6Address):
        return str(ipaddress.ip_network((found, HOUSEHOLD_BITS), strict=False))
    return str(found)


def wait_s(kind: str, failures: int) -> float:
    """How long after its last wrong try a source has to wait: nothing at first, then twice as long each time."""
    beyond = failures - FREE_TRIES[kind]
    return 0.0 if beyond < 0 else min(LONGEST_S[kind], 2.0 ** min(beyond, 30))


def _count(store: Store, source: str, now: datetime) -> None:
    with store.change() as db:
        for each, kind in ((source, "one"), (EVERYONE, EVERYONE)):
            tries = shelf.wrong_tries(db, each)
            if tries is not None and now - tries.last < FORGOTTEN_AFTER:
                left = wait_s(kind, tries.failures) - (now - tries.last).total_seconds()
                if left > 0:
                    raise TooManyTries(ceil(left))
        for each in (source, EVERYONE):
            shelf.note_wrong(db, each, now, now - FORGOTTEN_AFTER)
