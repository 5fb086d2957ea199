"""Secrets given anew, one place for all: what was handed out before opens nothing any more."""

import secrets
from collections.abc import Callable
from pathlib import Path

from tracker import feed
from tracker.commands.base import Who
from tracker.commands.build import build
from tracker.commands.door import submit
from tracker.commands.token import EndToken
from tracker.errors import BadInput
from tracker.reminders import links
from tracker.store import sessions, tokens
from tracker.store.store import Store
from tracker.uids import new_uid
from tracker.words import say

SESSION_KEY_FILE = "session-key"


def renew(store: Store, what: str, who: Who) -> str:
    """Give one kind of secret anew and say what came of it.

    Raises:
        BadInput: there is no such kind.
        Forbidden: whoever asks is no owner.
    """
    if what not in KINDS:
        raise BadInput(
            say("“{what}” is no secret of this program.", what=what[:40]),
            field="what",
            accepted=say("Choose from {kinds}.", kinds=", ".join(KINDS)),
        )
    return KINDS[what](store, who)


def session_key(folder: Path) -> str:
    """The key that forms and notices are signed with, made once and readable by its owner alone."""
    path = folder / SESSION_KEY_FILE
    if not path.exists():
        write_secret(path, secrets.token_hex(32))
    return path.read_text()


def write_secret(path: Path, secret: str) -> None:
    """Put a secret into a file that its owner alone can read, in one step."""
    part = path.with_name(f"{path.name}.part")
    part.unlink(missing_ok=True)
    part.touch(mode=0o600)
    part.write_text(secret)
    part.replace(path)


def _sessions(store: Store, _who: Who) -> str:
    with store.change() as db:
        sessions.end_all(db)
    write_secret(store.path.parent / SESSION_KEY_FILE, secrets.token_hex(32))
    return say("Every browser has to log in again. Forms are signed with the new key from the next start on.")


def _links(store: Store, _who: Who) -> str:
    write_secret(store.path.parent / links.KEY_FILE, secrets.token_hex(links.KEY_BYTES))
    return say("Links in messages sent until now open nothing any more.")


def _calendar(store: Store, _who: Who) -> str:
    if feed.key_of(store.path.parent) is None:
        return say("There is no calendar feed; nothing was changed.")
    feed.renew_key(store.path.parent)
    return say("The feed has a new address; a former one is void.")


def _tokens(store: Store, who: Who) -> str:
    found = tokens.tokens(store.reading(), who.now)
    if not found:
        return say("There is no token; nothing was changed.")
    submit(store, [build(EndToken, {"uid": new_uid(who.now), "token_uid": each.uid}) for each in found], who)
    return say("Tokens ended: {n}. Make new ones for the programs that need them.", n=len(found))


KINDS: dict[str, Callable[[Store, Who], str]] = {
    "sessions": _sessions,
    "links": _links,
    "calendar": _calendar,
    "tokens": _tokens,
}
