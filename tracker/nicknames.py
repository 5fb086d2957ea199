"""Which watch is meant by a nickname or the beginning of one, whatever its capitals and however its accents are written."""

from collections.abc import Sequence
from unicodedata import normalize

from tracker.core.watch import Watch


def called(watches: Sequence[Watch], nickname: str) -> list[Watch]:
    """The watch of this nickname, if there is one; the register lets no two differ in capitals or accents' form only."""
    return [watch for watch in watches if _plain(watch.nickname) == _plain(nickname)]


def meant(watches: Sequence[Watch], typed: str) -> list[Watch]:
    """The watch called so, else all whose nickname begins so."""
    return called(watches, typed) or [watch for watch in watches if _plain(watch.nickname).startswith(_plain(typed))]


def _plain(text: str) -> str:
    return normalize("NFC", normalize("NFC", text.strip()).casefold())
