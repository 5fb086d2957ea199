"""The link in a message: signed, for one telling of one reminder, with an end; and the key it is signed with."""

import hashlib
import os
import secrets
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import NamedTemporaryFile

from itsdangerous import BadSignature, Signer

from tracker.errors import GoingError
from tracker.uids import uid_of
from tracker.words import say

KEY_FILE = "link-key"
KEY_BYTES = 32
LINKS_AT = "/m/"
"""Where the site answers links."""
LASTS = timedelta(days=3)
"""So long after it was sent a link can be used."""


class NotOurs(GoingError):
    """A link that was altered, cut short, or made by another collection."""

    status = 404
    exit_code = 4


class Spent(GoingError):
    """A link of ours that opens nothing any more."""

    status = 410
    exit_code = 4


@dataclass(frozen=True, slots=True)
class Link:
    """What a link stands for: this telling of this reminder, until then."""

    reminder_uid: str
    telling: int
    ends: datetime

    @property
    def uid(self) -> str:
        """The uid of the one change it allows."""
        return uid_of("link", self.reminder_uid, str(self.telling))


def sign(link: Link, key: str) -> str:
    """The link as text for an address; who reads it learns a random name, a count and a moment."""
    return _signer(key).sign(f"{link.reminder_uid}.{link.telling}.{int(link.ends.timestamp())}").decode()


def read(token: str, key: str, now: datetime) -> Link:
    """The link that was signed.

    Raises:
        NotOurs: it was not signed with this key, or was altered since.
        Spent: its end has passed.
    """
    try:
        reminder_uid, telling, ends = _signer(key).unsign(token).decode().split(".")
    except (BadSignature, UnicodeError, ValueError) as error:
        raise NotOurs(say("This link is not whole, or not one of ours. Nothing was changed.")) from error
    link = Link(reminder_uid, int(telling), datetime.fromtimestamp(int(ends), UTC))
    if link.ends <= now:
        raise Spent(say("This link has expired. Nothing was changed."))
    return link


def _signer(key: str) -> Signer:
    return Signer(key, salt="link in a message", key_derivation="hmac", digest_method=hashlib.sha256)


def key_of(folder: Path) -> str:
    """The key of a collection's links, made when it is asked for first; whoever comes first makes it for all."""
    path = folder / KEY_FILE
    with suppress(FileNotFoundError):
        return path.read_text()
    with NamedTemporaryFile("w", dir=folder, prefix=f"{KEY_FILE}.") as part:  # readable by its owner alone
        part.write(secrets.token_hex(KEY_BYTES))
        part.flush()
        with suppress(FileExistsError):
            os.link(part.name, path)
    return path.read_text()
