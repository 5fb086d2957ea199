"""Six characters that stand for a watch on a label: they follow from its uid, so no label ever comes to mean another watch."""

import base64
import hashlib
from collections.abc import Iterable

from tracker.core.watch import Watch

LENGTH = 6
"""30 bits: among a thousand watches two share theirs once in two thousand collections, and then the page asks which."""


def short_name(uid: str) -> str:
    """Six of the letters a to z and the digits 2 to 7 (base 32 of RFC 4648, section 6): no 0, 1 and 8 to be mistaken for o, l and b."""
    return base64.b32encode(hashlib.sha256(uid.encode()).digest())[:LENGTH].decode().lower()


def in_two(short: str) -> str:
    """As a label shows it, in two halves that can be read at one glance: `k7m 2qx`."""
    half = LENGTH // 2
    return f"{short[:half]} {short[half:]}"


def called(watches: Iterable[Watch], typed: str) -> list[Watch]:
    """The watches of these six characters, however they were typed: with capitals, a blank or a dash."""
    plain = "".join(letter for letter in typed.lower() if letter.isalnum())
    return [watch for watch in watches if short_name(watch.uid) == plain]
